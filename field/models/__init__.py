"""What the field page keeps: what came of each record, those that wait for a person, and parts of photographs."""

from field.models.photo import PhotoPart, PhotoUpload
from field.models.record import PhoneRecord, Reason

__all__ = ["PhoneRecord", "PhotoPart", "PhotoUpload", "Reason"]
