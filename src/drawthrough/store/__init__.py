"""Where facts and photos are kept: one contract, in memory and in SQLite."""

from drawthrough.store.contract import FactConflict as FactConflict
from drawthrough.store.contract import Photo as Photo
from drawthrough.store.contract import Store as Store
from drawthrough.store.contract import StoreError as StoreError
from drawthrough.store.contract import VisitLine as VisitLine
