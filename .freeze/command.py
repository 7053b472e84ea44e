"""The command in the folder that needs no Python; the window, where it was a double click that began it."""

import os
import sys
from multiprocessing import freeze_support

if __name__ == "__main__":
    freeze_support()  # a marker's workers are this program again
    if os.environ.pop("TONEWRIGHT_DOUBLE_CLICK", ""):
        from sim.command.double_click import main
    else:
        from sim.command.main import main

    sys.exit(main())
