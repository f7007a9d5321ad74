"""What goes back: nbgrader's gradebook and form, feedback for each student, a table of marks, a report of the class.

The door loads nothing of nbgrader: the parts that need it ask for it when they are called.
"""

from controlkit.classroom.handing_back.enter import enter_marks
from controlkit.classroom.handing_back.export import export_marks
from controlkit.classroom.handing_back.feedback import TEMPLATES, HandedBack, hand_back
from controlkit.classroom.handing_back.report import write_report

__all__ = ["TEMPLATES", "HandedBack", "enter_marks", "export_marks", "hand_back", "write_report"]
