"""Charts as SVG, each with a sentence that says what it shows and its numbers as a table."""

from drawthrough.report.charts.chart import Chart as Chart
from drawthrough.report.charts.chart import Table as Table
from drawthrough.report.charts.fan import fan_chart as fan_chart
from drawthrough.report.charts.path import path_chart as path_chart
from drawthrough.report.charts.steady import steady_chart as steady_chart
from drawthrough.report.charts.strips import ratio_chart as ratio_chart
from drawthrough.report.charts.strips import strip_chart as strip_chart
