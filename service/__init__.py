"""Roadproof's service: the set-up book of a bicycle workshop behind HTTP."""

from __future__ import annotations

from flask import Flask

from service.config import Config

__all__ = ["Config", "create_app"]


def create_app(config: Config) -> Flask:
    """The service over one book. It migrates nothing: a book of an older schema shows at /readyz, and is refused."""
    # What the commands `migrate` and `pair-code` do not need is brought in only here.
    from service import api, errors, json_answers, routes
    from service.guesses import Guesses
    from service.pairing import first_start
    from service.record.signing import SigningKey
    from service.routes import phone
    from service.store import Store, pending

    app = Flask("service", static_folder=None)
    app.json = json_answers.Answers(app)
    app.url_map.strict_slashes = True
    store = Store(config.db_path)
    app.extensions["roadproof.store"] = store
    app.extensions["roadproof.config"] = config
    app.extensions["roadproof.guesses"] = Guesses(config.pair_tries)
    app.extensions["roadproof.key"] = SigningKey(config.key_path)
    errors.register(app)
    routes.register(app, api.new_api(app))
    if config.phone_dir is not None:
        phone.register(app)
    if not store.lacks(pending):
        first_start(store, config.shop_name, config.clock())
    return app
