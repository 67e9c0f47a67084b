"""Where the photographs of a report are fetched from, for the club and for a landholder."""

from django.urls import reverse

from reports.blocks import Report, photo_keys


def club_photo_urls(report: Report) -> dict[str, str]:
    """Addresses for people with an account, by photograph key."""
    names = {"find": "finds:photo", "hole": "hunts:hole_photo"}
    parts = {key: key.split("-") for key in photo_keys(report)}
    return {key: reverse(names[kind], args=[int(pk), "full"]) for key, (kind, pk) in parts.items()}


def landholder_photo_urls(report: Report, key: str, report_pk: int) -> dict[str, str]:
    """Addresses under a landholder's link: only photographs that stand in this issued report."""
    return {
        photo: reverse("reports:landholder_photo", kwargs={"key": key, "pk": report_pk, "photo": photo})
        for photo in photo_keys(report)
    }
