"""Every released schema, as the export of a small club made under it: proof that it can be brought to today's."""
