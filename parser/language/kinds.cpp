#include "parser/language/kinds.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "parser/language/kind_rows.hpp"

namespace loomward {
namespace {

std::vector<KindInfo> make_table() {
    std::vector<KindInfo> table;
    for (auto part : {rows::sources_and_devices(), rows::contacts_and_joints(), rows::loads_and_converters(),
                      rows::wires_and_surroundings()})
        table.insert(table.end(), part.begin(), part.end());
    std::sort(table.begin(), table.end(),
              [](const KindInfo& a, const KindInfo& b) { return a.kind < b.kind; });
    return table;
}

const std::vector<KindInfo>& table() {
    static const std::vector<KindInfo> rows = make_table();
    return rows;
}

// Statement words that are not kinds; the last three are reserved for a later edition.
constexpr auto other_words = std::to_array<std::string_view>(
    {"loom", "use", "part", "route", "mode", "accept", "variant", "change", "remove"});

}  // namespace

std::span<const KindInfo> kind_table() {
    return table();
}

const KindInfo& info(Kind kind) {
    return table()[static_cast<std::size_t>(kind)];
}

const KindAttribute* find_attribute(Kind kind, Attr attribute) {
    for (const KindAttribute& row : info(kind).attributes)
        if (row.attribute == attribute) return &row;
    return nullptr;
}

bool takes_word(Kind kind, Attr attribute, std::string_view word) {
    if (attribute != "rest"_attr) return true;
    return (word == "on" || word == "off") == (kind == Kind::load);
}

std::optional<Kind> find_kind(std::string_view word) {
    // By length and first letter: a large file asks a hundred thousand times.
    struct Words {
        std::array<std::vector<std::pair<std::string_view, Kind>>, 512> by_shape;
        static std::size_t shape(std::string_view text) {
            return ((text.size() & 15U) << 5U) | (static_cast<unsigned char>(text.front()) & 31U);
        }
        Words() {
            for (const KindInfo& row : table()) by_shape[shape(row.word)].emplace_back(row.word, row.kind);
        }
    };
    static const Words words;
    if (word.empty()) return std::nullopt;
    for (const auto& [text, kind] : words.by_shape[Words::shape(word)])
        if (text == word) return kind;
    return std::nullopt;
}

std::span<const std::string_view> statement_words() {
    static const std::vector<std::string_view> words = [] {
        std::vector<std::string_view> all(other_words.begin(), other_words.end());
        for (const KindInfo& row : table()) all.push_back(row.word);
        std::sort(all.begin(), all.end());
        return all;
    }();
    return words;
}

bool is_statement_word(std::string_view word) {
    // By first letter: asked at every line of a block and of every name.
    static const auto by_letter = [] {
        std::array<std::vector<std::string_view>, 26> words;
        for (const std::string_view known : statement_words())
            words[static_cast<std::size_t>(known.front() - 'a')].push_back(known);
        return words;
    }();
    if (word.empty() || word.front() < 'a' || word.front() > 'z') return false;
    for (const std::string_view known : by_letter[static_cast<std::size_t>(word.front() - 'a')])
        if (known == word) return true;
    return false;
}

}  // namespace loomward
