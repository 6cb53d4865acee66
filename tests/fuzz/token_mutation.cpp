#include "tests/fuzz/token_mutation.hpp"

#include <cctype>
#include <iterator>
#include <sstream>
#include <utility>
#include <vector>

#include "parser/language/units.hpp"
#include "tests/checker/random_network.hpp"

namespace fuzz {
namespace {

using loomward::test::Dice;

enum class Sort { blank, word, number, unit, text, sign };

struct Token {
    Sort sort{};
    std::string text;
};

bool in_a_word(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == '-' || c == '+' || c == '.' ||
           c == '/' || c == '%' || c == '>';
}

Sort sort_of(const std::string& word) {
    if (loomward::find_unit(word)) return Sort::unit;
    return word.find_first_not_of("0123456789.-") == word.npos ? Sort::number : Sort::word;
}

std::vector<Token> tokens_of(const std::string& text) {
    std::vector<Token> tokens;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at + 1;
        const char c = text[at];
        if (c == '"' || c == '#') {
            while (end < text.size() && text[end] != '\n' && (c == '#' || text[end] != '"')) ++end;
            if (c == '"' && end < text.size() && text[end] == '"') ++end;
            tokens.push_back({Sort::text, text.substr(at, end - at)});
        } else if (in_a_word(c)) {
            while (end < text.size() && in_a_word(text[end])) ++end;
            const std::string word = text.substr(at, end - at);
            tokens.push_back({sort_of(word), word});
        } else {
            tokens.push_back({c == ' ' || c == '\n' ? Sort::blank : Sort::sign, text.substr(at, 1)});
        }
        at = end;
    }
    return tokens;
}

class Mutation {
  public:
    Mutation(std::string text, std::uint64_t seed) : text_(std::move(text)), dice_(seed) {}

    std::string apply() {
        for (std::uint32_t count = 1 + dice_.below(3); count > 0; --count)
            if (dice_.chance(0.3))
                change_a_line();
            else
                change_a_token();
        return text_;
    }

  private:
    std::size_t pick(std::size_t count) { return dice_.below(static_cast<std::uint32_t>(count)); }

    void change_a_line() {
        std::vector<std::string> lines;
        std::stringstream stream(text_);
        for (std::string line; std::getline(stream, line);) lines.push_back(line);
        if (lines.size() < 2) return;
        const std::size_t at = pick(lines.size());
        switch (dice_.below(3)) {
            case 0:
                lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
                break;
            case 1:
                std::swap(lines[at], lines[pick(lines.size())]);
                break;
            default:
                lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(pick(lines.size())),
                             std::string(lines[at]));
        }
        text_.clear();
        for (const std::string& line : lines) text_ += line + "\n";
    }

    void change_a_token() {
        std::vector<Token> tokens = tokens_of(text_);
        std::vector<std::size_t> of[6];
        for (std::size_t i = 0; i < tokens.size(); ++i)
            of[static_cast<std::size_t>(tokens[i].sort)].push_back(i);
        const bool number = dice_.chance(0.5);
        const std::vector<std::size_t>& places =
            of[static_cast<std::size_t>(number ? Sort::number : Sort::word)];
        if (places.empty()) return;
        Token& token = tokens[places[pick(places.size())]];
        if (number)
            token.text = other_number(token.text, tokens, places);
        else if (dice_.chance(0.15))
            token.text = "unknown";
        else if (dice_.chance(0.1))
            token.text.clear();
        else
            token.text = tokens[places[pick(places.size())]].text;
        text_.clear();
        for (const Token& each : tokens) text_ += each.text;
    }

    std::string other_number(const std::string& now, const std::vector<Token>& tokens,
                             const std::vector<std::size_t>& places) {
        static const char* const numbers[] = {"0",  "1",  "2",  "0.001", "0.5",  "3",
                                              "12", "47", "99", "1000",  "9999", "-5"};
        switch (dice_.below(5)) {
            case 0:
                return numbers[pick(std::size(numbers))];
            case 1:
                return "unknown";
            case 2:
                return now.find("..") == now.npos ? "about " + now : now.substr(0, now.find(".."));
            case 3:
                return now.find('.') == now.npos ? now + "0" : now + ".." + now;
            default:
                return tokens[places[pick(places.size())]].text;
        }
    }

    std::string text_;
    Dice dice_;
};

}  // namespace

std::string mutated(const std::string& text, std::uint64_t seed) {
    return Mutation(text, seed).apply();
}

}  // namespace fuzz
