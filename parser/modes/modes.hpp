// Modes while they are read. Internal to parser/.
#pragma once
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "parser/modes/rest.hpp"
#include "parser/names/reading.hpp"

namespace loomward {

// What can be said of a kind in a mode line, and what holds where nothing is said.
struct StateRules {
    bool must = false;                        // has to be placed in every mode
    Posture rest = Posture::none;             // `at rest`, `others at rest`
    Posture otherwise = Posture::none;        // where the mode is silent; none where it must not be
    std::span<const std::string_view> words;  // "closed", "draws", "at"
};
const StateRules& state_rules(Kind kind);
// The same of one part: a load that rests off has to be placed.
const StateRules& state_rules(const Harness& harness, const Part& part);
const StateRules& driver_pin_rules();
// Of a location that says its states; of one that does not.
const StateRules& location_rules(bool has_states);
std::optional<Posture> posture_of(std::string_view word);
bool is_state_word(std::string_view word);
std::span<const std::string_view> state_words();

// The lines of one mode, put over what it inherits.
class ModeLines {
  public:
    ModeLines(Reading& reading, Mode& mode);
    // One element of the block, `like` excepted.
    void take(const FileText& file, std::uint32_t element);
    // After all lines: others at rest, then silence. `report_silence` false where it would be no news.
    void finish(bool report_silence);
    bool bad() const { return bad_; }
    bool silent() const { return silent_; }

  private:
    enum class Whose : std::uint8_t { part, pin, location };
    struct Target {
        Whose whose = Whose::part;
        std::uint32_t index = 0;
        bool is_part() const { return whose == Whose::part; }
    };
    struct Line;
    void take_others(const FileText& file, Tokens& tokens);
    void take_after(const FileText& file, Tokens& tokens);
    void take_ambient(const FileText& file, Tokens& tokens);
    void take_states(const FileText& file, std::uint32_t element);
    void say_no_verb(const std::vector<Token>& words, Span element);
    bool read_does(const FileText& file, Tokens& tokens, Line& line);
    bool read_profile(const FileText& file, Tokens& tokens, Line& line);
    bool says_nothing_more(const Tokens& tokens, const Token& word, std::string_view id,
                           std::string_view what, std::string example);
    bool read_level(const FileText& file, Tokens& tokens, Line& line, Profile& profile);
    void find_targets(const Token& subject, Line& line);
    void find_copies(const Token& subject, Line& line);
    void find_pin(const Token& subject, const Located& found, Line& line);
    void add_pins_of(std::uint32_t first, std::uint32_t parts, Line& line) const;
    void add_located(const Token& subject, const Located& found, Line& line);
    void apply(const Target& target, bool group, const Token& subject, const Line& line);
    bool fits(const Target& target, const Line& line) const;
    bool check_limit(const Target& target, const Line& line);
    void say_wrong_state(const Target& target, const Token& subject, const Line& line);
    void say_wrong_verb(const Target& target, const Token& subject, const Line& line);
    std::uint16_t find_position(const Target& target, const Token& subject, const Line& line);
    std::vector<std::string_view> choices_of(const Target& target) const;
    std::string a_kind_of(const Target& target) const;
    std::size_t place_of(const Target& target) const;
    const StateRules& rules(const Target& target) const;
    Posture rest_of(const Target& target) const;
    State& state(const Target& target);
    std::string name_of(const Target& target) const;
    Diagnostic& say(std::string_view id, Span where, std::string message);
    bool nothing_more(Tokens& tokens, std::string_view after);

    Reading& reading_;
    Mode& mode_;
    std::vector<std::uint8_t> said_;  // by part, pin, location: bit 0 by a group, 1 by name, 2 phases
    bool others_at_rest_ = false;
    bool after_ = false, ambient_ = false;
    bool bad_ = false;
    bool silent_ = false;
};

}  // namespace loomward
