"""Release only: `solutions/` becomes `exercises/`, and no gradebook is left in the repository.

A class is kept in a folder of its own, with a configuration of its own:
`controlkit class new FOLDER` makes one.
"""

c = get_config()  # noqa: F821

c.CourseDirectory.source_directory = "solutions"
c.CourseDirectory.release_directory = "exercises"
c.CourseDirectory.ignore = [".ipynb_checkpoints", "*.pyc*", "__pycache__", "progress*.json"]

# What a student finds where a solution stood: words, and nothing that fails.
c.ClearSolutions.code_stub = {"python": "# Replace the dots. Lines of working may stand above."}
c.ClearSolutions.text_stub = "Write your answer here."

# No database: it would be a gradebook in the repository.
c.GenerateAssignment.no_database = True
c.SaveCells.enabled = False

# The version of Python that last saved a source says nothing to a student.
c.GenerateAssignment.preprocessors.insert(0, "nbconvert.preprocessors.ClearMetadataPreprocessor")
c.ClearMetadataPreprocessor.enabled = True
c.ClearMetadataPreprocessor.clear_cell_metadata = False
c.ClearMetadataPreprocessor.preserve_nb_metadata_mask = {"kernelspec", ("language_info", "name")}
