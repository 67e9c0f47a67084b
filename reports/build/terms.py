"""The sharing term of a permission in one sentence."""

from permissions.models import Permission


def sharing_words(permission: Permission) -> str:
    """E.g. 'the landholder has 50 % of the whole value of each object worth more than 500.00 GBP'."""
    from permissions.terms_of import terms_of  # built beside the gate's facts

    from permissions.terms.words import sharing_in_words

    return sharing_in_words(terms_of(permission).sharing)
