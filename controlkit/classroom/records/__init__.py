"""What a class folder keeps as data: who is in the class, whose case is which, what was answered, what it earned.

Plain JSON, one file for each student and exercise, always written whole: what is there is true.
"""

from controlkit.classroom.records.answers import ReadAnswer, Submission
from controlkit.classroom.records.class_folder import ClassFolder
from controlkit.classroom.records.marks import ItemMark, Marked
from controlkit.classroom.records.roster import Roster, Student

__all__ = ["ClassFolder", "ItemMark", "Marked", "ReadAnswer", "Roster", "Student", "Submission"]
