"""The application: pages for a phone's screen and a JSON interface, over any store and any clock."""

from drawthrough.web.app import create_app as create_app
