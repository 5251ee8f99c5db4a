"""What the reader of PDFs answered before, so that one question about one file is asked once.

The reader is a process of its own that knows nothing but what it is given: the task, its limits and
the file, and the places of the packages. Tests of the reading itself ask it every time.
"""

import subprocess
from collections import OrderedDict
from collections.abc import Mapping, Sequence

KEPT = 60  # answers; a page in colour has up to 6 MB

Key = tuple[tuple[str, ...], bytes, str]
Answer = subprocess.CompletedProcess[bytes]


class ReadOnce:
    """Stands where the sandbox has the module ``subprocess``, and keeps the answers of its calls.

    Calls that end in any other way than an answer are not kept.
    """

    TimeoutExpired = subprocess.TimeoutExpired

    def __init__(self) -> None:
        self.kept: OrderedDict[Key, Answer] = OrderedDict()

    def run(
        self,
        command: Sequence[str],
        *,
        env: Mapping[str, str],
        timeout: float,
        check: bool,
        capture_output: bool,
        **given: bytes,
    ) -> Answer:
        question = given["input"]
        key = (tuple(command), question, env["PYTHONPATH"])
        found = self.kept.get(key)
        if found is None:
            found = subprocess.run(
                command,
                env=env,
                timeout=timeout,
                check=check,
                capture_output=capture_output,
                input=question,
            )
            if found.returncode != 0:
                return found
            self.kept[key] = found
            if len(self.kept) > KEPT:
                self.kept.popitem(last=False)
        self.kept.move_to_end(key)
        return found
