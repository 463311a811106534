"""What the README shows is what the command says, and the garden it prints is the one that ships."""
import json
import os
import pathlib
import re
import subprocess

import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def shown_outputs():
    return re.findall(r"<!-- output: (.+?) -->\n```\n(.*?)```", README, flags=re.DOTALL)


def test_the_garden_is_the_one_that_ships():
    block = re.search(r"```json\n(.*?)```", README, flags=re.DOTALL).group(1)
    assert json.loads(block) == json.loads((ROOT / "scenarios" / "one-bed.json").read_text(encoding="utf-8"))


@pytest.mark.skipif("LEAFHUNGER_CLI" not in os.environ, reason="LEAFHUNGER_CLI does not name the command")
def test_outputs_are_what_the_command_says():
    outputs = shown_outputs()
    assert outputs
    for arguments, text in outputs:
        said = subprocess.run([os.environ["LEAFHUNGER_CLI"], *arguments.split()], cwd=ROOT, capture_output=True, text=True, check=True)
        assert said.stdout == text


def test_links_lead_somewhere():
    for page in ("README.md", "DEVELOPERS.md", "scenarios/README.md"):
        text = (ROOT / page).read_text(encoding="utf-8")
        for target in re.findall(r"\]\(([^)#:]+)\)", text):
            assert (ROOT / page).parent.joinpath(target).exists(), f"{page}: {target}"
