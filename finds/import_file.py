"""The CSV file that somebody sent, as a draft keeps it."""

from django.utils.translation import gettext as _

from finds.csv_columns import KNOWN
from finds.csv_read import Table, read_table
from finds.models import FindImportDraft
from web.photos import Upload, shown_name, size_words
from web.tables.errors import TableError
from web.tables.text import MAX_BYTES


def take_table(upload: Upload) -> tuple[bytes, str]:
    """The content and the name to show. Raises TableError for a file that is too large, before it is read."""
    name = shown_name(upload.name)
    if (upload.size or 0) > MAX_BYTES:
        raise TableError(
            _("“%(name)s” has %(size_words)s") % {"name": name, "size_words": size_words(upload.size or 0)},
            _("Send at most %(size_words)s, which is more than 10,000 finds need")
            % {"size_words": size_words(MAX_BYTES)},
        )
    return upload.read(MAX_BYTES + 1), name


def check_table(data: bytes, *, encoding: str = "") -> Table:
    """The rows of a file. Raises TableError."""
    return read_table(data, KNOWN, encoding=encoding)


def table_of(draft: FindImportDraft) -> Table:
    """The rows of a draft that is still to be saved. Raises TableError."""
    return check_table(bytes(draft.raw or b""), encoding=draft.encoding)
