"""What the trade knows, as data: which readings are worth taking, in which order, and why. No code of consequence."""
