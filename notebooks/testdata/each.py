"""Runs lessons with nbclient; an error, a word on stderr or an output without text fails."""
import sys

import nbformat
from nbclient import NotebookClient

failed = 0
for name in sys.argv[1:]:
    lesson = nbformat.read(name, as_version=4)
    NotebookClient(lesson, kernel_name="tautline", timeout=300).execute()
    for cell in lesson.cells:
        for out in cell.get("outputs", []):
            stderr = out.output_type == "stream" and out.name == "stderr"
            silent = "data" in out and not out.data.get("text/plain")
            if stderr or silent:
                print(name, cell.id, out)
                failed += 1
sys.exit(1 if failed else 0)
