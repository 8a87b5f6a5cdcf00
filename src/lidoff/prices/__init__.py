"""Price books: dated, sourced rates of one region, currency and year."""

from .book import MachineTable, Price, PriceBook, PriceError, price_book, price_books

__all__ = ["MachineTable", "Price", "PriceBook", "PriceError", "price_book", "price_books"]
