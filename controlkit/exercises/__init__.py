"""The exercises, a package each: what a student may see of them. What graders keep back is in no package."""
