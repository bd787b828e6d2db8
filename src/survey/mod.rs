//! From readings to positions. Surveys are not acted on yet: the spec's own coordinates are the layout.
