"""The field page: what a phone takes along to a hunt, and what it sends back."""
