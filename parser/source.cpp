#include "parser/source.hpp"

#include <algorithm>

namespace loomward {
namespace {

bool continues_a_character(char byte) { return (static_cast<unsigned char>(byte) & 0xC0) == 0x80; }

}  // namespace

FileId Sources::add(std::string path, std::string text) {
    files.push_back({std::move(path), std::move(text)});
    return FileId(files.size() - 1);
}

std::string_view Sources::text(Span span) const {
    if (!span.valid()) return {};
    return std::string_view(file(span.file).text).substr(span.begin, span.end - span.begin);
}

Position Sources::position(Span span) const {
    if (!span.valid()) return {};
    const std::string& text = file(span.file).text;
    const auto here = text.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(span.begin, text.size()));
    const auto line = std::count(text.begin(), here, '\n');
    auto start = here;
    while (start != text.begin() && *(start - 1) != '\n') --start;
    const auto column = std::count_if(start, here, [](char byte) { return !continues_a_character(byte); });
    return {static_cast<std::uint32_t>(line + 1), static_cast<std::uint32_t>(column + 1)};
}

std::string_view Sources::line_at(FileId id, std::uint32_t offset) const {
    const std::string_view text = file(id).text;
    const std::size_t here = std::min<std::size_t>(offset, text.size());
    const std::size_t before = here == 0 ? std::string_view::npos : text.rfind('\n', here - 1);
    const std::size_t start = before == std::string_view::npos ? 0 : before + 1;
    std::size_t stop = text.find('\n', here);
    if (stop == std::string_view::npos) stop = text.size();
    if (stop > start && text[stop - 1] == '\r') --stop;
    return text.substr(start, stop - start);
}

}  // namespace loomward
