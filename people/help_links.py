"""Which help belongs to a page, by how its address begins: one link at the foot of every page (WCAG 2.2, 3.2.6)."""

from django.urls import reverse

TOPICS: tuple[tuple[str, str], ...] = (
    ("/land/", "land"),
    ("/permissions/", "land"),
    ("/agreements/", "land"),
    ("/signature-requests/", "land"),
    ("/hunts/", "hunts"),
    ("/field/", "field"),
    ("/finds/", "finds"),
    ("/heritage/", "heritage"),
    ("/officer-visits/", "heritage"),
    ("/sendings/", "heritage"),
    ("/reports/", "reports"),
    ("/answers/", "reports"),
    ("/settlements/", "reports"),
    ("/papers/", "reports"),
    ("/paper-signers/", "reports"),
    ("/club/", "club"),
    ("/set-up/", "club"),
)
BY_LINK = ("/l/", "/s/", "/p/", "/c/")
"""Where people without an account are: landholders, signers, receivers."""


def help_url(path: str, *, signed_in: bool) -> str:
    """The address of the help for the page at `path`; empty where there is none for this reader."""
    if path.startswith(BY_LINK) or not signed_in:
        return reverse("reports:help_landholder") if path.startswith(BY_LINK) else ""
    if path == "/":
        return reverse("reports:help_topic", args=["today"])
    topic = next((key for prefix, key in TOPICS if path.startswith(prefix)), "")
    return reverse("reports:help_topic", args=[topic]) if topic else reverse("reports:help")
