"""pack_catalogue.py FOLDER FILE...: copies catalogue files into FOLDER, JSON without the blanks of its layout."""
import json
import pathlib
import sys

folder = pathlib.Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
for name in sys.argv[2:]:
    file = pathlib.Path(name)
    text = file.read_text(encoding="utf-8")
    if file.suffix == ".json":
        text = json.dumps(json.loads(text), ensure_ascii=False, separators=(",", ":"))
    (folder / file.name).write_text(text, encoding="utf-8")
