"""The only room with opinions: a Visit in, a Judgement out."""
