"""The diagram of supplies on a page of a PDF: our own SVG drawn again, as large as the page allows."""

from typing import Any
from xml.etree import ElementTree as Xml

from reportlab.lib.colors import Color, black, white
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from recall.base import regex as re
from recall.publish.paper import BOLD, REGULAR, printable

_NARROWER = 0.88
"""The letters of paper are wider than those that the picture was laid out for."""
_PLACE = re.compile(r"([-\d.]+) ([-\d.]+)")


class Drawing(Flowable):
    """One SVG as `diagram.svg` writes it: lines from place to place, boxes, dots and words."""

    def __init__(self, svg: str, width: float, height: float) -> None:
        super().__init__()
        self.root = Xml.fromstring(svg)
        _, _, self.wide, self.high = map(float, self.root.attrib["viewBox"].split())
        upright = min(width / self.wide, height / self.high, 1.0)
        turned = min(width / self.high, height / self.wide, 1.0)
        self.turned = turned > upright * 1.1
        self.scale = turned if self.turned else upright
        across, down = (self.high, self.wide) if self.turned else (self.wide, self.high)
        self.width, self.height = across * self.scale, down * self.scale

    def wrap(self, *_: float) -> tuple[float, float]:
        """Its size on paper."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it; the page is turned on its side where the picture is larger so."""
        canvas: Canvas = self.canv
        canvas.saveState()
        if self.turned:
            canvas.translate(self.width, 0)
            canvas.rotate(90)
        canvas.scale(self.scale, self.scale)
        canvas.translate(0, self.high)  # paper counts upwards
        _draw(canvas, self.root)
        canvas.restoreState()


def _draw(canvas: Canvas, parent: Xml.Element) -> None:
    for one in parent:
        tag, look = one.tag.rpartition("}")[2], one.attrib
        x, y = (float(look.get(name, 0)) for name in "xy")
        if tag == "g":
            across, down = map(float, re.findall(r"[-\d.]+", look["transform"]))
            canvas.saveState()
            canvas.translate(across, -down)
            _draw(canvas, one)
            canvas.restoreState()
        elif tag == "path":
            path = canvas.beginPath()
            for at, (to, down) in enumerate(_PLACE.findall(look["d"])):
                (path.lineTo if at else path.moveTo)(float(to), -float(down))
            if look["d"].endswith("Z"):
                path.close()
            canvas.drawPath(path, **_pens(canvas, look))
        elif tag == "rect":
            high = float(look["height"])
            canvas.rect(x, -y - high, float(look["width"]), high, **_pens(canvas, look))
        elif tag == "circle":
            canvas.circle(float(look["cx"]), -float(look["cy"]), float(look["r"]), **_pens(canvas, look))
        elif tag == "text":
            _write(canvas, one.text or "", x, -y, look)


def _write(canvas: Canvas, text: str, x: float, y: float, look: dict[str, str]) -> None:
    font = BOLD if look.get("font-weight") == "bold" else REGULAR
    size, text = float(look.get("font-size", 12)) * _NARROWER, printable(text)
    wide = canvas.stringWidth(text, font, size)
    x -= {"middle": wide / 2, "end": wide}.get(look.get("text-anchor", ""), 0.0)
    if "paint-order" in look:
        canvas.setFillColor(white)
        canvas.rect(x - 1, y - 2, wide + 2, size, 0, 1)
    canvas.setFillColor(black)
    canvas.setFont(font, size)
    canvas.drawString(x, y, text)


def _pens(canvas: Canvas, look: dict[str, str]) -> dict[str, Any]:
    """Set colours and lines; what is to be drawn of a shape."""
    fill, stroke = look.get("fill", "black"), look.get("stroke", "none")
    colours: dict[str, Color] = {"black": black, "white": white}
    canvas.setFillColor(colours.get(fill, black))
    canvas.setStrokeColor(colours.get(stroke, black))
    canvas.setLineWidth(float(look.get("stroke-width", 1)))
    dash = [float(part) for part in look.get("stroke-dasharray", "").split()]
    canvas.setDash(dash) if dash else canvas.setDash()
    return {
        "stroke": int(stroke != "none"),
        "fill": int(fill != "none" and not (stroke == "black" and fill == "black")),
    }
