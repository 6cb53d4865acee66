// One statement a line: a kind, a name, a block with attributes. Small enough to be read by hand.
#include "parser/readings/readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>

#include "parser/language/quantity.hpp"

namespace loomward {
namespace {

struct Piece {
    std::string_view text;
    Span where;
    bool quoted = false;
};

struct MeterWord {
    std::string_view word;
    Dimension dimension;
};
constexpr std::array<MeterWord, 4> meter_words = {{{"ohms", Dimension::resistance},
                                                   {"volts", Dimension::voltage},
                                                   {"millivolts", Dimension::voltage},
                                                   {"amps", Dimension::current}}};

class MeasuredReader {
  public:
    MeasuredReader(MeasuredText& made, FileId file) : made_(made), file_(file) {}

    void read_line(std::string_view line, std::uint32_t begins) {
        split(line, begins);
        if (pieces_.empty()) return;
        at_ = 0;
        const Piece first = next();
        if (first.text == "loom") return read_edition(first);
        if (first.text == "measured") return read_head();
        if (first.text == "at-rest") return read_at_rest();
        if (first.text == "step") return read_step(first);
        say("unknown-statement", first.where, fmt::format("there is no statement '{}' here", first.text),
            "measured, at-rest or step");
    }

  private:
    void say(const char* id, Span where, std::string message, std::string beside = {}) {
        made_.mistakes.push_back({id, where, std::move(message), std::move(beside), {}, {}});
    }

    // Words, texts and the signs { } , ; a comment ends the line.
    void split(std::string_view line, std::uint32_t begins) {
        pieces_.clear();
        std::size_t at = 0;
        const auto add = [&](std::size_t from, std::size_t to, bool quoted) {
            pieces_.push_back(
                {line.substr(from, to - from),
                 {file_, begins + static_cast<std::uint32_t>(from), begins + static_cast<std::uint32_t>(to)},
                 quoted});
        };
        while (at < line.size()) {
            const char c = line[at];
            if (c == '#') return;
            if (c == ' ' || c == '\t' || c == '\r') {
                ++at;
            } else if (c == '"') {
                const std::size_t end = line.find('"', at + 1);
                const std::size_t to = end == std::string_view::npos ? line.size() : end;
                add(at + 1, to, true);
                at = to + 1;
            } else if (c == '{' || c == '}' || c == ',') {
                add(at, at + 1, false);
                ++at;
            } else {
                const std::size_t from = at;
                while (at < line.size() &&
                       std::string_view(" \t\r{},#\"").find(line[at]) == std::string_view::npos)
                    ++at;
                add(from, at, false);
            }
        }
    }

    bool done() const { return at_ >= pieces_.size(); }
    Piece peek() const {
        if (!done()) return pieces_[at_];
        const Span last = pieces_.back().where;
        return {{}, {file_, last.begin, last.end}, false};
    }
    Piece next() {
        const Piece piece = peek();
        ++at_;
        return piece;
    }
    bool take(std::string_view sign) {
        if (done() || pieces_[at_].quoted || pieces_[at_].text != sign) return false;
        ++at_;
        return true;
    }
    bool open_block() {
        if (take("{")) return true;
        say("no-block", peek().where, "a block in braces is missing here", "{ ... }");
        return false;
    }

    // "3.1 mV"; `_`, or `_ mV`, is a blank. False: said, or blank.
    bool read_quantity(Dimension dimension, std::string_view what, double& value, bool& blank) {
        const Piece number = next();
        if (number.text == "_") {
            blank = true;
            if (!done() && peek().text != "," && peek().text != "}" && peek().text != "at") ++at_;
            return false;
        }
        std::string text(number.text);
        Span where = number.where;
        if (!done() && peek().text != "," && peek().text != "}" && peek().text != "at") {
            const Piece unit = next();
            text += " " + std::string(unit.text);
            where.end = unit.where.end;
        }
        const std::optional<Quantity> found = quantity_from_text(text);
        if (!found || found->dimension != dimension || found->lo != found->hi || !std::isfinite(found->lo)) {
            say("bad-quantity", where, fmt::format("'{}' is no {}", text, what), to_text(1, dimension));
            return false;
        }
        value = found->lo;
        return true;
    }

    void read_edition(const Piece& first) {
        if (!take("1")) say("wrong-edition", first.where, "this program reads edition 1", "loom 1");
    }

    void read_head() {
        if (!done() && peek().quoted) made_.title = std::string(next().text);
        if (done() || !open_block()) return;
        while (!done() && !take("}")) {
            const Piece word = next();
            double value = 0;
            bool blank = false;
            if (word.text == "revision") {
                made_.revision = std::string(next().text);
            } else if (word.text == "air") {
                if (read_quantity(Dimension::temperature, "temperature", value, blank))
                    made_.air_degC = value;
            } else if (word.text != ",") {
                return say("unknown-attribute", word.where, fmt::format("there is no '{}' here", word.text),
                           "revision or air");
            }
        }
    }

    void read_at_rest() {
        const Piece name = next();
        if (!open_block()) return;
        double value = 0;
        bool blank = false;
        if (read_quantity(Dimension::voltage, "voltage", value, blank))
            made_.at_rest_V.emplace_back(std::string(name.text), value);
        if (blank) ++made_.blanks;
    }

    void read_step(const Piece& first) {
        MeasuredStep step;
        step.where = first.where;
        const Piece number = next();
        const auto [end, trouble] =
            std::from_chars(number.text.data(), number.text.data() + number.text.size(), step.number);
        if (trouble != std::errc() || end != number.text.data() + number.text.size() || number.text.empty())
            return say("no-number", number.where, "a step has a number, as on the sheet", "step 14");
        if (!open_block()) return;
        const Piece meter = next();
        const auto* known = std::find_if(meter_words.begin(), meter_words.end(),
                                         [&](const MeterWord& each) { return each.word == meter.text; });
        if (known == meter_words.end())
            return say("unknown-meter", meter.where,
                       fmt::format("'{}' is nothing that a meter measures here", meter.text),
                       "ohms, volts, millivolts or amps");
        step.meter = std::string(meter.text);
        bool any = false;
        while (!done() && !take("}")) {
            const Piece word = next();
            if (word.text == ",") continue;
            bool blank = false;
            if (word.text == "red" || word.text == "around") {
                step.red = std::string(next().text);
            } else if (word.text == "black") {
                step.black = std::string(next().text);
            } else if (word.text == "reads") {
                if (take("open")) {
                    step.value = std::numeric_limits<double>::infinity();
                    any = true;
                } else {
                    any =
                        read_quantity(known->dimension, dimension_word(known->dimension), step.value, blank);
                    if (blank) ++made_.blanks;
                }
                double amps = 0;
                if (take("at")) {
                    if (read_quantity(Dimension::current, "current", amps, blank))
                        step.at_A = amps;
                    else
                        any = false;
                }
                if (!any) return;
            } else {
                return say("unknown-attribute", word.where, fmt::format("there is no '{}' here", word.text),
                           "red, black, around or reads");
            }
        }
        if (any) made_.steps.push_back(std::move(step));
    }

    static std::string_view dimension_word(Dimension dimension) {
        return dimension == Dimension::resistance ? "resistance"
               : dimension == Dimension::voltage  ? "voltage"
                                                  : "current";
    }

    MeasuredText& made_;
    FileId file_;
    std::vector<Piece> pieces_;
    std::size_t at_ = 0;
};

}  // namespace

MeasuredText read_measured(const std::string& path, std::string text) {
    MeasuredText made;
    made.sources = std::make_shared<Sources>();
    const FileId file = made.sources->add(path, std::move(text));
    const std::string_view whole = made.sources->file(file).text;
    MeasuredReader reader(made, file);
    for (std::size_t begin = 0; begin < whole.size();) {
        std::size_t end = whole.find('\n', begin);
        if (end == std::string_view::npos) end = whole.size();
        reader.read_line(whole.substr(begin, end - begin), static_cast<std::uint32_t>(begin));
        begin = end + 1;
    }
    return made;
}

}  // namespace loomward
