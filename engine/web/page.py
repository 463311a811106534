"""page.py KIND OUT JS WASM [SCENARIO]: one self-contained page. KIND is garden (with the scenario that it opens with, and its weather) or
workshop. The page asks no network: its Content-Security-Policy allows its own scripts and style, by their hashes, WebAssembly, and a worker made
from its own text; nothing else."""
import base64
import gzip
import hashlib
import json
import os
import pathlib
import sys

PAGES = pathlib.Path(__file__).parent / "pages"
SCRIPTS = {"garden": ("engine.js", "draw.js", "scenario_edit.js", "garden_view.js", "garden.js"), "workshop": ("engine.js", "draw.js", "workshop_view.js", "workshop.js")}


def hashed(text):
    return "'sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() + "'"


def policy(scripts, style):
    return "; ".join(("default-src 'none'", f"script-src {' '.join(map(hashed, scripts))} 'wasm-unsafe-eval'", f"style-src {hashed(style)}", "worker-src blob:", "form-action 'none'",
                      "base-uri 'none'"))


def inline(text, what):
    # A browser ends a script at this whatever quotes stand about it, and reads CR LF as LF: the hash must be of what it reads.
    if "</script" in text.lower() or "<!--" in text or "\r" in text:
        raise SystemExit(f"page.py: {what} cannot stand in a page as it is")
    return text


def start(scenario):
    """The scenario and the weather that it names, as data: no < of it can end the element that holds it."""
    file = pathlib.Path(scenario)
    text = file.read_text(encoding="utf-8")
    named = json.loads(text)["weather"].get("file")
    files = []
    if named:
        # In a page a file lies in no folder.
        bare = pathlib.PurePath(named).name
        text = text.replace(json.dumps(named), json.dumps(bare)) if bare != named else text
        files = [[bare, (file.parent / named).read_text(encoding="utf-8")]]
    return json.dumps({"name": file.name, "scenario": text, "files": files}, ensure_ascii=False).replace("<", "\\u003c")


def main(kind, out, js, wasm, scenario=None):
    engine = inline(pathlib.Path(js).read_text(encoding="utf-8"), js)
    script = inline('"use strict";\n' + "\n".join((PAGES / name).read_text(encoding="utf-8") for name in SCRIPTS[kind]), kind)
    style = (PAGES / "page.css").read_text(encoding="utf-8")
    parts = {
        "policy": policy((engine, script), style),
        "style": style,
        "engine": engine,
        "script": script,
        "wasm": base64.b64encode(gzip.compress(pathlib.Path(wasm).read_bytes(), 9, mtime=0)).decode(),
        "start": start(scenario) if scenario else "",
    }
    page = (PAGES / f"{kind}.html").read_text(encoding="utf-8")
    pieces = []
    for piece in page.split("{{"):
        name, closed, rest = piece.partition("}}")
        pieces.append(parts[name] + rest if closed and name in parts else piece)
    part = pathlib.Path(f"{out}.part-{os.getpid()}")
    part.write_text("".join(pieces), encoding="utf-8", newline="\n")
    part.replace(out)


if __name__ == "__main__":
    main(*sys.argv[1:])
