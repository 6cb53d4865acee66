#include "checker/tables/chemistry_words.hpp"

#include <cctype>
#include <string>

namespace loomward {
namespace {

// Words that a label has for the cells of a pack.
struct ChemistryWord {
    std::string_view word, chemistry;
};
constexpr ChemistryWord chemistry_words[] = {
    {"lead", "lead"},  {"agm", "lead"},     {"gel", "lead"},  {"flooded", "lead"},
    {"acid", "lead"},  {"vrla", "lead"},    {"lfp", "lfp"},   {"lifepo", "lfp"},
    {"iron", "lfp"},   {"titanate", "lto"}, {"lto", "lto"},   {"nmc", "nmc"},
    {"li-ion", "nmc"}, {"18650", "nmc"},    {"21700", "nmc"}, {"lithium", "lithium"},
};

}  // namespace

std::string_view chemistry_of(const Part& part) {
    std::string text = " " + std::string(part.name) + " " + std::string(part.label) + " ";
    for (char& each : text) each = static_cast<char>(std::tolower(static_cast<unsigned char>(each)));
    for (const ChemistryWord& each : chemistry_words) {
        const std::size_t at = text.find(each.word);
        if (at != std::string::npos && std::isalnum(static_cast<unsigned char>(text[at - 1])) == 0)
            return each.chemistry;
    }
    return {};
}

}  // namespace loomward
