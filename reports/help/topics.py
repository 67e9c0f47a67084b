"""The help of each section, in the order of the sections."""

from reports.help import record_texts as records
from reports.help import section_texts as texts
from reports.help.model import Topic

TOPICS: tuple[Topic, ...] = (
    texts.TODAY,
    texts.LAND,
    texts.HUNTS,
    texts.FIELD,
    records.FINDS,
    records.HERITAGE,
    records.REPORTS,
    records.CLUB,
    records.LANDHOLDER,
)
BY_KEY = {topic.key: topic for topic in TOPICS}
LANDHOLDER = records.LANDHOLDER.key
"""The one topic that is open to everybody."""
