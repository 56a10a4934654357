"""A report as one HTML file that needs nothing beside it."""

from html import escape

from bitewright.report.figure import Figure
from bitewright.report.report_page import ReportPage, cell_words

STYLE = """
:root { color-scheme: light; }
body { margin: 0; background: #f5f6f5; color: #26323a;
  font: 16px/1.5 Georgia, "Times New Roman", serif; }
main { max-width: 58rem; margin: 0 auto; padding: 2.5rem 1.5rem 4rem; background: #fff; }
h1 { font-size: 1.9rem; margin: 0 0 .2rem; font-weight: 600; }
h2 { font-size: 1.3rem; margin: 2.4rem 0 .6rem; font-weight: 600; }
h3 { font-size: 1.05rem; margin: 1.6rem 0 .3rem; font-weight: 600; }
.quiet { color: #5d6970; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .45rem .7rem .45rem 0;
  border-bottom: 1px solid #e4e8ea; }
th { font-weight: 600; }
td.found { white-space: nowrap; width: 9.5rem; }
.sign { display: inline-block; width: 1.2rem; font-weight: 700; }
.told .sign, .told td.found { color: #9c3f0c; }
td.question { width: 32%; font-weight: 600; }
svg { max-width: 100%; height: auto; display: block; margin: .4rem 0; }
figure { margin: 0 0 1.6rem; }
figcaption { color: #5d6970; font-size: .93rem; }
details { margin: .3rem 0; font-size: .9rem; }
.caution { border-left: 4px solid #2a6f8f; padding: .3rem 0 .3rem 1rem; margin: 2rem 0; }
@media print { body { background: #fff; } main { padding: 0; } figure { break-inside: avoid; } }
"""


def html_page(page: ReportPage) -> str:
    """The whole page."""
    answers = "".join(
        f'<tr class="{"told" if line.sign == "!" else ""}"><td class="found">'
        f'<span class="sign" aria-hidden="true">{escape(line.sign)}</span>{escape(line.found)}</td>'
        f'<td class="question">{escape(line.question)}</td><td>{escape(line.sentence)}</td></tr>'
        for line in page.answers
    )
    actions = "".join(f"<li>{escape(action)}</li>" for action in page.actions)
    figures = "".join(_figure(figure) for figure in page.figures)
    methods = "".join(
        f"<h3>{escape(part.title)}</h3>" + "".join(f"<p>{escape(p)}</p>" for p in part.paragraphs)
        for part in page.methods
    )
    return f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{escape(page.title)}</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>{STYLE}</style></head><body><main>
<h1>{escape(page.title)}</h1><p class="quiet">{escape(page.about)}</p>
<h2>Answers</h2><table><thead><tr><th scope="col">found?</th><th scope="col">question</th>
<th scope="col">answer</th></tr></thead><tbody>{answers}</tbody></table>
<h2>What follows</h2><ol>{actions}</ol>
<p class="caution">{escape(page.caution)}</p>
<h2>Charts and tables</h2>{figures}
<h2>Method and limits</h2>{methods}
<p class="quiet">{escape(page.made)}</p>
</main></body></html>
"""


def _figure(figure: Figure) -> str:
    says = f"<figcaption>{escape(figure.says)}</figcaption>" if figure.says else ""
    return (
        f"<figure><h3>{escape(figure.title)}</h3>{figure.svg}{says}"
        f"<details{' open' if figure.shown else ''}><summary>Numbers ({figure.name}.csv)</summary>"
        f"{_table(figure)}</details></figure>"
    )


def _table(figure: Figure) -> str:
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in figure.header)
    rows = "".join(
        "<tr>" + "".join(f"<td>{escape(cell_words(cell))}</td>" for cell in row) + "</tr>"
        for row in figure.rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


__all__ = ["html_page"]
