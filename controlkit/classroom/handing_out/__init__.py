"""What a class is given: for each student a case, drawn once, and the notebook."""
