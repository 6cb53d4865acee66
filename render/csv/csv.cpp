#include "render/csv/csv.hpp"

namespace loomward {
namespace {

bool is_number(std::string_view text) {
    return text.find_first_not_of("0123456789.eE+-") == std::string_view::npos &&
           text.find_first_of("0123456789") != std::string_view::npos;
}

void add_line(std::string& out, const std::vector<std::string>& fields) {
    for (std::size_t i = 0; i < fields.size(); ++i) {
        if (i > 0) out += ',';
        out += csv_field(fields[i]);
    }
    out += "\r\n";
}

}  // namespace

std::string csv_field(std::string_view text) {
    std::string field;
    if (!text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos &&
        !is_number(text))
        field = "'";
    field += text;
    if (field.find_first_of(",\"\r\n") == std::string::npos) return field;
    std::string quoted = "\"";
    for (const char c : field) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

std::string csv_text(const CsvTable& table) {
    std::string out;
    add_line(out, table.head);
    for (const std::vector<std::string>& row : table.rows) add_line(out, row);
    return out;
}

}  // namespace loomward
