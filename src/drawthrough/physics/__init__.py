"""Physics of the air handler: floats in, floats out, SI, standard library only."""
