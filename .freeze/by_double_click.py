"""What is double-clicked in the folder that needs no Python: the command beside it, asked for the window, without a console.

It holds nothing of its own, so that the folder holds everything once.
"""

import os
import subprocess
import sys

COMMAND = "tonewright"
ASKED = "TONEWRIGHT_DOUBLE_CLICK"

if __name__ == "__main__":
    beside = os.path.join(os.path.dirname(os.path.abspath(sys.executable)), COMMAND)
    settings = {**os.environ, ASKED: "1", "PYINSTALLER_RESET_ENVIRONMENT": "1"}
    if sys.platform == "win32":
        quiet = getattr(subprocess, "CREATE_NO_WINDOW", 0)
        sys.exit(subprocess.run([beside + ".exe", *sys.argv[1:]], env=settings, creationflags=quiet).returncode)
    os.execve(beside, [beside, *sys.argv[1:]], settings)
