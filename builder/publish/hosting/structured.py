"""Structured data: a playbook as a schema.org ``HowTo``."""

from typing import Any

from builder.publish.pages.views import PlaybookView
from builder.read.records import Settings


def how_to(view: PlaybookView, settings: Settings) -> dict[str, Any]:
    """The JSON-LD object of a playbook: steps in order, tools, supplies and the range of what it costs."""
    book, totals = view.playbook, view.totals
    data: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "HowTo",
        "name": book.title,
        "description": book.symptom.summary,
        "inLanguage": settings.language,
        "tool": [{"@type": "HowToTool", "name": tool.name} for _, tool in view.tools],
        "supply": [{"@type": "HowToSupply", "name": part.name} for _, part in view.parts],
        "step": [
            {
                "@type": "HowToStep",
                "position": step.number,
                "name": step.work.title,
                "url": f"#step-{step.name}",
            }
            for step in view.steps
        ],
    }
    if totals.expected:
        data["totalTime"] = f"PT{round(totals.expected.minutes)}M"
        cost = round(totals.expected.money, 2)
        data["estimatedCost"] = {"@type": "MonetaryAmount", "currency": settings.currency, "value": cost}
    return data
