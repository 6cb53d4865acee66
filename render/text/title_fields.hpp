// What the title of every paper says of a harness besides its name: the data fields of ISO 7200 (memory) that
// its file gives.
#pragma once
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "parser/harness.hpp"

namespace loomward {

// Texts of the `harness` line, each empty where the file does not give it: none is ever made up.
struct TitleFields {
    std::string subtitle, document, revision, date, drawn_by, checked_by, approved_by, legal_owner;
    bool names_anybody() const { return !drawn_by.empty() || !checked_by.empty() || !approved_by.empty(); }
};
TitleFields title_fields(const Harness& harness);

// Those that were given and are no title, with what they are called, in the order they are read: document,
// revision, date, persons, owner.
std::vector<std::pair<std::string_view, std::string>> named_fields(const TitleFields& fields);

// "document H-0417 · revision C · 2026-04-30 · drawn by A. Quill"; empty where none was given.
std::string title_line(const TitleFields& fields);

// What of a path stands on a paper: the file's own name, or "standard input".
std::string paper_file_name(std::string_view path);

}  // namespace loomward
