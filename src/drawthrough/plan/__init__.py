"""The day of the work: which tasks, in which order, and when they will be over."""
