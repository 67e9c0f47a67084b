"""Help in plain words: one set of texts, read as pages and printed as the field handbook."""
