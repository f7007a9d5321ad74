"""Say what goes into the wheel; everything else is in pyproject.toml.

Two things cannot be said there: that `course/` and `exercises/` travel inside the package,
beside packages that are found and not listed; and that the build works in a folder of its own,
so that a file deleted from the checkout can never come back out of an old `build/`.
"""

import atexit
import shutil
import tempfile

from setuptools import find_packages, setup

build = tempfile.mkdtemp(prefix="controlkit-build-")
atexit.register(shutil.rmtree, build, ignore_errors=True)

setup(
    packages=[
        *find_packages(include=["controlkit", "controlkit.*"]),
        "controlkit._course",
        "controlkit._exercises",
    ],
    package_dir={"controlkit._course": "course", "controlkit._exercises": "exercises"},
    options={"build": {"build_base": build}},
)
