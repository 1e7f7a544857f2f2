"""What people read of a judgement: the words for its codes, its figures in field units, and the text view."""
