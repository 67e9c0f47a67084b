"""A form sent twice makes one row: every created record carries the key that its form was given."""

import uuid

from django.db import models


class OnceModel(models.Model):
    """Mixin: `client_id` is chosen before the row exists (by the form or the phone) and is unique."""

    client_id = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)

    class Meta:
        abstract = True
