// Lines while they are laid out: where they may be broken, and what stands behind them.
#pragma once
#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace loomward {

inline constexpr std::size_t widest_line = 100;
inline constexpr std::size_t level_indent = 2;
inline constexpr std::size_t continuation_indent = 4;

inline std::size_t columns(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

class Lines {
  public:
    void put(std::string_view text) { out_ += text; }
    void may_break_here() { breaks_.push_back(out_.size()); }

    // Ends the line unless it is empty, and begins one with that many blanks.
    void new_line(std::size_t indent, bool empty_line_before) {
        end_line();
        if (empty_line_before && !out_.empty()) {
            out_ += '\n';
            ++line_number_;
        }
        line_ = out_.size();
        indent_ = indent;
        out_.append(indent, ' ');
    }
    // Where a line goes on that had to be broken: its further breaks stand no deeper.
    void continue_line(std::size_t indent) {
        new_line(indent + continuation_indent, false);
        indent_ = indent;
    }
    void comment_behind(std::string_view comment) {
        wrap();
        comments_.push_back({line_number_, out_.size(), columns(std::string_view(out_).substr(line_))});
        out_ += comment;
    }
    void end_line() {
        wrap();
        while (!out_.empty() && out_.back() == ' ') out_.pop_back();
        if (!out_.empty() && out_.back() != '\n') {
            out_ += '\n';
            ++line_number_;
        }
        line_ = out_.size();
    }
    // The whole text, with the comments behind neighbouring lines below each other.
    std::string take() const {
        std::string text;
        std::size_t taken = 0;
        for (std::size_t i = 0; i < comments_.size();) {
            std::size_t last = i + 1;
            std::size_t column = comments_[i].column;
            while (last < comments_.size() && comments_[last].line == comments_[last - 1].line + 1)
                column = std::max(column, comments_[last++].column);
            for (; i < last; ++i) {
                text.append(out_, taken, comments_[i].offset - taken);
                text.append(column + 2 - comments_[i].column, ' ');
                taken = comments_[i].offset;
            }
        }
        return text.append(out_, taken);
    }

  private:
    struct Behind {
        std::size_t line = 0;
        std::size_t offset = 0;
        std::size_t column = 0;  // where the line ends before it
    };

    // Breaks the current line where it may be broken, each line as full as it can be.
    void wrap() {
        const std::vector<std::size_t> breaks = std::exchange(breaks_, {});
        if (breaks.empty() || columns(std::string_view(out_).substr(line_)) <= widest_line) return;
        const std::string written = out_.substr(line_);
        out_.resize(line_);
        const std::string lead(indent_ + continuation_indent, ' ');
        std::size_t from = 0;      // what is not yet on a line
        std::size_t last_fit = 0;  // where it could be broken
        for (std::size_t i = 0; i <= breaks.size(); ++i) {
            const std::size_t to = i < breaks.size() ? breaks[i] - line_ : written.size();
            const std::size_t used = from == 0 ? 0 : lead.size();
            if (last_fit > from &&
                used + columns(std::string_view(written).substr(from, to - from)) > widest_line) {
                out_ += written.substr(from, last_fit - from) + '\n' + lead;
                ++line_number_;
                from = last_fit + 1;  // the blank
            }
            last_fit = to;
        }
        line_ = out_.size() - (from == 0 ? 0 : lead.size());
        out_ += written.substr(from);
    }

    std::string out_;
    std::size_t line_ = 0;  // where the current line begins
    std::size_t line_number_ = 0;
    std::size_t indent_ = 0;
    std::vector<std::size_t> breaks_;
    std::vector<Behind> comments_;
};

}  // namespace loomward
