"""What the records of one sending have in common, looked up once for all of them instead of once for each."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from field.account import account_of
from field.envelope import key_for
from field.models import PhoneRecord
from hunts.models import Hunt
from people.models import User


class Sending:
    """Who sends, when, what the phone's clock says, which of the records are known, and the hunts that they name.

    What is looked up here only chooses the way: whatever is written is looked at again under its lock.
    """

    def __init__(
        self, raws: Iterable[Any], *, by: User, at: datetime, device_now: datetime | None = None
    ) -> None:
        self.by, self.at, self.device_now = by, at, device_now
        self._account = account_of(by)
        keys = {self.key_of(raw) for raw in raws}
        rows = PhoneRecord.objects.own_of(by).filter(client_id__in=keys).select_related("let_in_by")
        self._known: dict[UUID, PhoneRecord | None] = dict.fromkeys(keys)
        self._known.update({row.client_id: row for row in rows})
        self._hunts: dict[int, Hunt | None] = {}

    def key_of(self, raw: Any) -> UUID:
        return key_for(raw, self._account)

    def row_of(self, key: UUID) -> PhoneRecord | None:
        """What became of the record with this key before."""
        if key not in self._known:
            rows = PhoneRecord.objects.own_of(self.by).filter(client_id=key)
            self._known[key] = rows.select_related("let_in_by").first()
        return self._known[key]

    def is_settled(self, key: UUID) -> None:
        """Something was written: whoever asks for it again gets it as it is now."""
        self._known.pop(key, None)

    def hunt(self, number: int) -> Hunt | None:
        """The hunt with this number as far as the sender may see it, with its sites."""
        if number not in self._hunts:
            seen = Hunt.objects.visible_to(self.by).select_related("leader", "permission")
            self._hunts[number] = seen.prefetch_related("sites").filter(pk=number).first()
        return self._hunts[number]
