"""Uncertainty, steadiness and small dense least squares."""
