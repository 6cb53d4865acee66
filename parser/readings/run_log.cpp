#include "parser/readings/run_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <string_view>

namespace loomward {
namespace {

constexpr std::size_t most_mistakes = 20;

struct Field {
    std::string text;  // without its quotes
    Span where;
};

struct LogWord {
    std::string_view word;
    LogQuantity quantity;
    double unit;
};
constexpr std::array<LogWord, 5> log_words = {{{"time", LogQuantity::time, 1},
                                               {"volts", LogQuantity::volts, 1},
                                               {"millivolts", LogQuantity::volts, 1e-3},
                                               {"amps", LogQuantity::amps, 1},
                                               {"temperature", LogQuantity::temperature, 1}}};

std::string_view trimmed(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(" \t");
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(" \t") + 1 - begin);
}

std::vector<std::string> words_in(std::string_view text) {
    std::vector<std::string> words;
    while (!(text = trimmed(text)).empty()) {
        const std::size_t end = std::min(text.find_first_of(" \t"), text.size());
        words.emplace_back(text.substr(0, end));
        text.remove_prefix(end);
    }
    return words;
}

class LogReader {
  public:
    LogReader(RunLog& made, FileId file, std::string_view text) : made_(made), file_(file), text_(text) {
        if (text_.starts_with("\xEF\xBB\xBF")) at_ = 3;
    }

    void read() {
        if (text_.find_first_not_of(" \t\r\n", at_) == std::string_view::npos)
            return say("empty-log", span(at_, at_), "there is nothing in this log", "time,amps W1");
        read_heads(record());
        std::size_t fields = 0;
        while (made_.mistakes.empty() && at_ < text_.size()) {
            const std::vector<Field> row = record();
            fields += row.size();
            if (row.size() == 1 && trimmed(row[0].text).empty()) continue;  // a blank line
            if (fields > most_log_fields)
                return say("long-log", row.front().where, "this log is too long to be read whole",
                           fmt::format("at most {} fields", most_log_fields));
            read_row(row);
        }
        if (made_.mistakes.empty() && made_.rows() < 2)
            say("short-log", span(text_.size(), text_.size()), "a run has two rows at least", {});
    }

  private:
    Span span(std::size_t from, std::size_t to) const {
        return {file_, static_cast<std::uint32_t>(from), static_cast<std::uint32_t>(to)};
    }
    void say(const char* id, Span where, std::string message, std::string beside) {
        if (made_.mistakes.size() < most_mistakes)
            made_.mistakes.push_back({id, where, std::move(message), std::move(beside), {}, {}});
    }

    // One record, its line end passed.
    std::vector<Field> record() {
        std::vector<Field> fields;
        while (true) {
            fields.push_back(text_.substr(at_).starts_with('"') ? quoted_field() : plain_field());
            if (at_ >= text_.size()) return fields;
            const char sign = text_[at_++];
            if (sign == ',') continue;
            if (sign == '\r' && at_ < text_.size() && text_[at_] == '\n') ++at_;
            return fields;
        }
    }

    Field plain_field() {
        const std::size_t from = at_;
        at_ = std::min(text_.find_first_of(",\r\n", at_), text_.size());
        return {std::string(text_.substr(from, at_ - from)), span(from, at_)};
    }

    Field quoted_field() {
        const std::size_t from = at_++;
        Field field;
        while (true) {
            const std::size_t quote = text_.find('"', at_);
            if (quote == std::string_view::npos) {
                at_ = text_.size();
                say("open-quote", span(from, from + 1), "this quote is never closed", {});
                break;
            }
            field.text += text_.substr(at_, quote - at_);
            at_ = quote + 1;
            if (at_ >= text_.size() || text_[at_] != '"') break;
            field.text += text_[at_++];  // two of them stand for one
        }
        const std::size_t after = at_;
        at_ = std::min(text_.find_first_of(",\r\n", at_), text_.size());
        if (after != at_) say("after-quote", span(after, at_), "nothing stands behind a quoted field", {});
        field.where = span(from, at_);
        return field;
    }

    void read_heads(const std::vector<Field>& heads) {
        for (const Field& head : heads) read_head(head);
        const auto time = std::find_if(made_.columns.begin(), made_.columns.end(), [](const LogColumn& each) {
            return each.quantity == LogQuantity::time;
        });
        if (!made_.mistakes.empty()) return;
        if (time == made_.columns.end())
            return say("no-time", heads.front().where, "no column of this log is the time", "time");
        if (heads.size() < 2)
            return say("no-values", heads.front().where, "this log has a time and nothing else",
                       "time,amps W1");
        time_at_ = static_cast<std::size_t>(time - made_.columns.begin());
    }

    void read_head(const Field& head) {
        const std::vector<std::string> words = words_in(head.text);
        const auto* known = std::find_if(log_words.begin(), log_words.end(), [&](const LogWord& each) {
            return !words.empty() && each.word == words.front();
        });
        if (known == log_words.end())
            return say("unknown-column", head.where,
                       words.empty() ? "a column of this log has no head"
                                     : fmt::format("a log has no column '{}'", words.front()),
                       "time, volts RED BLACK, millivolts RED BLACK, amps NAME or temperature NAME");
        const std::size_t most = known->quantity == LogQuantity::time    ? 0
                                 : known->quantity == LogQuantity::volts ? 2
                                                                         : 1;
        const std::size_t least = std::min<std::size_t>(most, 1);
        if (words.size() < least + 1 || words.size() > most + 1)
            return say("bad-column", head.where,
                       fmt::format("'{}' does not say one place", trimmed(head.text)),
                       most == 0   ? "time"
                       : most == 1 ? fmt::format("{} W1", known->word)
                                   : fmt::format("{} B1.+ B1.-", known->word));
        for (const LogColumn& other : made_.columns)
            if (other.quantity == known->quantity && other.first == (most > 0 ? words[1] : "") &&
                other.second == (words.size() > 2 ? words[2] : ""))
                return say("twice", head.where, fmt::format("'{}' stands here twice", trimmed(head.text)),
                           {});
        made_.columns.push_back({known->quantity,
                                 most > 0 ? words[1] : std::string(),
                                 words.size() > 2 ? words[2] : std::string(),
                                 known->unit,
                                 head.where,
                                 {}});
    }

    void read_row(const std::vector<Field>& row) {
        if (row.size() != made_.columns.size())
            return say("wrong-count", row.back().where,
                       fmt::format("this row has {} fields, the header {}", row.size(), made_.columns.size()),
                       {});
        for (std::size_t i = 0; i < row.size(); ++i) {
            const std::string_view text = trimmed(row[i].text);
            double value = std::numeric_limits<double>::quiet_NaN();
            if (!text.empty() && !read_number(text, value))
                return say("no-number", row[i].where, fmt::format("'{}' is no number", text.substr(0, 40)),
                           "12.5, or nothing");
            if (i == time_at_ && !read_time(row[i], value)) return;
            made_.columns[i].values.push_back(value * made_.columns[i].unit);
        }
    }

    static bool read_number(std::string_view text, double& value) {
        if (text.front() == '+') text.remove_prefix(1);
        const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), value);
        return trouble == std::errc() && end == text.data() + text.size() && std::isfinite(value) &&
               std::abs(value) < 1e12;
    }

    bool read_time(const Field& field, double time_s) {
        const std::vector<double>& before = made_.columns[time_at_].values;
        if (std::isnan(time_s)) {
            say("no-number", field.where, "a row has a time", "12.5");
        } else if (!before.empty() && !(time_s > before.back())) {
            say("time-back", field.where, "the time does not go on from row to row",
                fmt::format("above {:g}", before.back()));
        } else {
            return true;
        }
        return false;
    }

    RunLog& made_;
    FileId file_;
    std::string_view text_;
    std::size_t at_ = 0, time_at_ = 0;
};

}  // namespace

RunLog read_run_log(const std::string& path, std::string text) {
    RunLog made;
    made.sources = std::make_shared<Sources>();
    const FileId file = made.sources->add(path, std::move(text));
    LogReader(made, file, made.sources->file(file).text).read();
    std::stable_sort(made.columns.begin(), made.columns.end(), [](const LogColumn& a, const LogColumn& b) {
        return (a.quantity == LogQuantity::time) > (b.quantity == LogQuantity::time);
    });
    return made;
}

}  // namespace loomward
