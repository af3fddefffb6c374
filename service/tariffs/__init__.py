"""Tariffs: what a kilowatt-hour costs in each half-hour, and from when.

Words: tariff, tariff version, rate sheet, rate band, window, price series, standing charge.
Announces ``TariffChanged`` when a version is published and ``PricesArrived`` when half-hourly
prices come in; hears nothing.
"""
