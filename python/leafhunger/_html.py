"""Small tables for notebooks. Every text is escaped; no script, no style beyond alignment."""
from collections.abc import Iterable, Sequence


def table(caption: str, heads: Sequence[str], rows: Iterable[Sequence[object]], foot: str = "") -> str:
    """An HTML table; the first column is text, the others are aligned to it by the notebook's own style."""
    from html import escape

    left = ' style="text-align:left"'
    out = [f'<table><caption style="text-align:left">{escape(caption)}</caption>']
    out.append("<tr>" + "".join(f"<th{left}>{escape(h)}</th>" for h in heads) + "</tr>")
    out += ["<tr>" + "".join(f"<td{left}>{escape(str(cell))}</td>" for cell in row) + "</tr>" for row in rows]
    out.append("</table>")
    if foot:
        out.append(f"<small>{escape(foot)}</small>")
    return "".join(out)


def day(date: object) -> str:
    """"4 August" of a datetime.date."""
    return f"{date.day} {date:%B}"  # type: ignore[attr-defined]
