"""Drawthrough: proof of what cleaning an air handler changed, from readings taken before and after."""

__version__ = "0.1.0"
