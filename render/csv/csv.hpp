// Tables of comma-separated values, RFC 4180: one header line, CR LF at the end of every line, UTF-8.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace loomward {

// A field as it stands between two commas: in quotes where it holds a comma, a quote or a line break; and so
// that no spreadsheet takes text for a formula: a text that begins with = + - @ or a tab gets an apostrophe
// before it. Names of terminals ("B1.+") begin with none of these.
std::string csv_field(std::string_view text);

struct CsvTable {
    std::vector<std::string> head;               // with units: "length_m"
    std::vector<std::vector<std::string>> rows;  // as long as the head
};
std::string csv_text(const CsvTable& table);

}  // namespace loomward
