"""HTTP: parse, ask who may, call one service, answer."""
