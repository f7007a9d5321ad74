"""Published and practical values with their sources, and the statistics of a body survey.

Prose, mechanics and tests read a fact from here and nowhere else, so that they cannot disagree.
Each value says how far to trust it (`SourcedValue.flag`). Where nothing was found, nothing stands here.
"""

from controlkit.sources._evidence import (
    Evidence,
    EvidenceSection,
    PracticeBeside,
    evidence,
    evidence_subjects,
    practice_beside,
)
from controlkit.sources._survey import Survey, survey
from controlkit.sources._values import FLAGS, SourcedValue, all_records, all_sources, source

__all__ = [
    "FLAGS",
    "Evidence",
    "EvidenceSection",
    "PracticeBeside",
    "SourcedValue",
    "Survey",
    "all_records",
    "all_sources",
    "evidence",
    "evidence_subjects",
    "practice_beside",
    "source",
    "survey",
]

_OPENED = (Evidence, EvidenceSection, PracticeBeside, SourcedValue, Survey, all_records, all_sources)
for _object in (*_OPENED, evidence, evidence_subjects, practice_beside, source, survey):
    _object.__module__ = __name__
del _object, _OPENED
