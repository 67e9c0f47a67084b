"""The help of each section, in the order of the sections."""

from reports.help import section_texts as texts
from reports.help.model import Topic

TOPICS: tuple[Topic, ...] = (
    texts.TODAY,
    texts.LAND,
    texts.HUNTS,
    texts.FIELD,
    texts.FINDS,
    texts.HERITAGE,
    texts.REPORTS,
    texts.CLUB,
    texts.LANDHOLDER,
)
BY_KEY = {topic.key: topic for topic in TOPICS}
LANDHOLDER = texts.LANDHOLDER.key
"""The one topic that is open to everybody."""
