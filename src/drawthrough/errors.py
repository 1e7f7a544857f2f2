"""What the engine says when it will not answer. Refusals are never clamped away."""


class DrawthroughError(Exception):
    """Base of every error that a user can act on; its text is a whole sentence."""


class OutOfRange(DrawthroughError):
    """A value lies outside the range in which an equation, a table or a quantity holds.

    Parameters
    ----------
    quantity : str
        Vocabulary name of the quantity (or the caller's key for it).
    value : float
        The value that was refused, in SI.
    limits : tuple of float
        Lowest and highest accepted value, in SI.
    source : str
        Whose limits these are: a standard, a table, or "vocabulary".
    """

    def __init__(self, quantity: str, value: float, limits: tuple[float, float], source: str) -> None:
        self.quantity = quantity
        self.value = value
        self.limits = limits
        self.source = source
        super().__init__(f"{quantity} = {value:.6g} lies outside {limits[0]:.6g} to {limits[1]:.6g} ({source}).")


class Unresolvable(DrawthroughError):
    """A computation has no answer for these inputs, though each lies within its own range."""
