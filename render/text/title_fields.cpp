#include "render/text/title_fields.hpp"

namespace loomward {

using namespace literals;

TitleFields title_fields(const Harness& harness) {
    const auto text = [&](Attr attribute) {
        return std::string(harness.value(harness.attributes, attribute).text);
    };
    return {text("subtitle"_attr),    text("document"_attr),   text("revision"_attr),
            text("date"_attr),        text("drawn-by"_attr),   text("checked-by"_attr),
            text("approved-by"_attr), text("legal-owner"_attr)};
}

std::vector<std::pair<std::string_view, std::string>> named_fields(const TitleFields& fields) {
    std::vector<std::pair<std::string_view, std::string>> given = {{"document", fields.document},
                                                                   {"revision", fields.revision},
                                                                   {"date", fields.date},
                                                                   {"drawn by", fields.drawn_by},
                                                                   {"checked by", fields.checked_by},
                                                                   {"approved by", fields.approved_by},
                                                                   {"legal owner", fields.legal_owner}};
    std::erase_if(given, [](const auto& field) { return field.second.empty(); });
    return given;
}

std::string title_line(const TitleFields& fields) {
    std::string line;
    for (const auto& [name, value] : named_fields(fields)) {
        if (!line.empty()) line += " · ";
        if (name != "date") (line += name) += ' ';  // a date says itself what it is
        line += value;
    }
    return line;
}

std::string paper_file_name(std::string_view path) {
    constexpr std::string_view piped = "-";
    if (path == piped) return "standard input";
    return std::string(path.substr(path.rfind('/') + 1));
}

}  // namespace loomward
