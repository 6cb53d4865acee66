#include "parser/text/source.hpp"

#include <algorithm>

namespace loomward {
namespace {

// A hundred thousand findings ask for positions in one large file: it is walked once.
const std::vector<std::uint32_t>& line_starts(const SourceFile& file) {
    if (!file.line_starts.empty()) return file.line_starts;
    file.line_starts.push_back(0);
    for (std::size_t at = 0; (at = file.text.find('\n', at)) != std::string::npos;)
        file.line_starts.push_back(static_cast<std::uint32_t>(++at));
    return file.line_starts;
}

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
    const std::size_t here = std::min<std::size_t>(span.begin, text.size());
    const std::vector<std::uint32_t>& starts = line_starts(file(span.file));
    const auto after = std::upper_bound(starts.begin(), starts.end(), here);
    const auto line_begin = text.begin() + static_cast<std::ptrdiff_t>(*(after - 1));
    const auto column = std::count_if(line_begin, text.begin() + static_cast<std::ptrdiff_t>(here),
                                      [](char byte) { return !continues_a_character(byte); });
    return {static_cast<std::uint32_t>(after - starts.begin()), static_cast<std::uint32_t>(column + 1)};
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
