"""How each collection is read from the club's records, one module a collection."""
