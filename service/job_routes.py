"""The routes of the rest of the job, beside the plan."""

from __future__ import annotations

from fastapi import APIRouter

from service.ahead.routes import router as ahead
from service.catalogue.routes import router as catalogue
from service.coop.routes import router as coop
from service.learning.routes import router as learning
from service.paper.routes import router as paper
from service.printables.routes import router as printables
from service.record.routes import router as record
from service.start.routes import router as start
from service.themes.routes import router as themes

ROUTERS: tuple[APIRouter, ...] = (paper, start, catalogue, ahead, record, learning, themes, coop, printables)
