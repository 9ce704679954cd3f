#!/usr/bin/python3
"""A window of WebKitGTK that WebDriver may drive and that keeps its storage: `webkit_window.py FOLDER`.

Run by Debian's own Python, which has the bindings. The browser that comes with the driver forgets everything
when it is closed; a phone does not.
"""

from __future__ import annotations

import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gtk, WebKit2  # noqa: E402  the versions have to be told first

SIZE = {"default_width": 412, "default_height": 839}


def main(folder: str) -> None:
    Gtk.init(None)
    kept = WebKit2.WebsiteDataManager(base_data_directory=f"{folder}/data", base_cache_directory=f"{folder}/cache")
    context = WebKit2.WebContext(website_data_manager=kept)
    context.set_automation_allowed(True)
    context.connect("automation-started", begin)
    Gtk.main()


def begin(context: WebKit2.WebContext, session: WebKit2.AutomationSession) -> None:
    told = WebKit2.ApplicationInfo()
    told.set_name("webkit_window")
    session.set_application_info(told)
    session.connect("create-web-view", lambda _session: new_view(context))


def new_view(context: WebKit2.WebContext) -> WebKit2.WebView:
    view = WebKit2.WebView(web_context=context, is_controlled_by_automation=True)
    window = Gtk.Window(**SIZE)
    window.add(view)
    window.show_all()
    view.connect("close", lambda _view: window.destroy())
    return view


main(sys.argv[1])
