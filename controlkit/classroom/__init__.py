"""Hand out, take in, mark, hand back: what an instructor does with a class.

The parts that need the notebook tools load them when they are called.
"""

from controlkit.classroom.begin import begin
from controlkit.classroom.folder import make_class
from controlkit.classroom.private import private
from controlkit.classroom.release import release

__all__ = ["begin", "make_class", "private", "release"]
