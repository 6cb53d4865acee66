// The part of docs/language.md that is made from the tables: kinds, attributes, units, colours, insulation.
#pragma once
#include <string>

namespace loomward {

// Markdown, ending with a line end; the same on every run.
std::string kind_tables_markdown();

}  // namespace loomward
