"""The phone's own modules, asked from here: one Node process answers a line at a time."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

from tools.installing import node_environment

SCRIPT = Path(__file__).with_name("phone.mjs")


class Phone:
    """`phone("near", "near", position, pack)` is what the module's function answers; its error fails the test."""

    def __init__(self) -> None:
        env = node_environment()
        node = shutil.which("node", path=env["PATH"])
        assert node, "Node is needed: dev.py installs it"
        self._process = subprocess.Popen(
            [node, "--no-warnings", str(SCRIPT)],
            env=env,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def __call__(self, module: str, name: str, *args: Any) -> Any:
        assert self._process.stdin
        assert self._process.stdout
        asked = {"module": module, "name": name, "args": args}
        self._process.stdin.write(json.dumps(asked, allow_nan=False) + "\n")
        self._process.stdin.flush()
        answer = json.loads(self._process.stdout.readline())
        assert "error" not in answer, answer["error"]
        return answer.get("value")

    def close(self) -> None:
        self._process.communicate()
