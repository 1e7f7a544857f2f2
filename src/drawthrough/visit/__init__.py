"""What happened on a visit, and what it adds up to."""
