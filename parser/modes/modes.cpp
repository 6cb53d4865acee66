// Modes in the order in which they build on each other; each comes out complete.
#include "parser/modes/modes.hpp"

#include <algorithm>
#include <utility>

#include "parser/text/suggest.hpp"

namespace loomward {
namespace {

struct Draft {
    Statement statement;
    Head head;
    Token like;
    std::uint32_t like_element = 0;
    bool bad = false;
    bool silent = false;
    enum class Progress : std::uint8_t { untouched, open, done } progress = Progress::untouched;
};

class ModeReader {
  public:
    // What the table of names asks for.
    struct DraftName {
        const std::vector<Draft>& drafts;
        std::string_view operator()(std::uint32_t index) const { return drafts[index].head.name.text; }
    };

    explicit ModeReader(Reading& reading) : reading_(reading) {}

    void read(const std::vector<Statement>& statements) {
        for (const Statement& statement : statements) declare_mode(statement);
        reading_.harness.modes.resize(drafts_.size());
        for (std::size_t i = 0; i < drafts_.size(); ++i) {
            Mode& mode = reading_.harness.modes[i];
            mode.name = drafts_[i].head.name.text;
            mode.where = drafts_[i].head.name.where;
        }
        for (std::size_t i = 0; i < drafts_.size(); ++i) resolve_chain(i);
    }

  private:
    void declare_mode(const Statement& statement) {
        Draft draft;
        draft.statement = statement;
        draft.head = read_head(reading_, statement);
        if (!draft.head.name) return;
        draft.bad = draft.head.bad;
        if (draft.head.type) {
            reading_.say("left-over", draft.head.type.where, "a mode is not fitted from a part").help =
                "to begin with another mode: mode " + std::string(draft.head.name.text) + " { like " +
                std::string(draft.head.type.text) + " }";
            draft.bad = true;
        }
        const Token name = draft.head.name;
        const auto index = static_cast<std::uint32_t>(drafts_.size());
        const NameTable::Inserted found = names_.insert(name.text, index, DraftName{drafts_});
        if (found.same != NameTable::none) {
            reading_.say("name-twice", name.where, "the name " + std::string(name.text) + " is used twice")
                .notes.push_back({drafts_[found.same].head.name.where, "first here"});
            return;
        }
        if (found.alike != NameTable::none) {
            const Token& other = drafts_[found.alike].head.name;
            reading_
                .say("names-alike", name.where,
                     std::string(name.text) + " and " + std::string(other.text) +
                         " differ only in their capitals")
                .notes.push_back({other.where, std::string(other.text) + " is here"});
        }
        find_like(draft);
        drafts_.push_back(std::move(draft));
    }

    void find_like(Draft& draft) {
        if (!draft.head.block) return;
        const FileText& file = draft.statement.file;
        bool first = true;
        for_each_element(
            file, draft.head.block + 1, file.node(draft.head.block).next, [&](std::uint32_t element) {
                const bool is_first = std::exchange(first, false);
                if (file.node(element).damaged) draft.bad = true;
                Tokens tokens(file, element);
                const Token word = tokens.next();
                if (!word.is_word("like") || file.node(element).damaged) return;
                const Token name = tokens.next();
                if (!is_first || !name.is_word() || !tokens.done()) {
                    draft.bad = true;
                    reading_
                        .say("misplaced", word.where, "a mode begins with one 'like' and the name of a mode")
                        .help = "mode climb { like drive, ... }";
                    return;
                }
                draft.like = name;
                draft.like_element = element;
            });
    }

    // Follows `like` to a mode that is done already, then comes back.
    void resolve_chain(std::size_t start) {
        std::vector<std::size_t> chain;
        std::optional<std::size_t> at = start;
        while (at && drafts_[*at].progress == Draft::Progress::untouched) {
            drafts_[*at].progress = Draft::Progress::open;
            chain.push_back(*at);
            at = base_of(drafts_[*at]);
        }
        if (at && drafts_[*at].progress == Draft::Progress::open) {
            say_circle(chain, *at);
            at = std::nullopt;
        }
        for (; !chain.empty(); chain.pop_back()) {
            fill_in(chain.back(), at);
            at = chain.back();
        }
    }

    std::optional<std::size_t> base_of(Draft& draft) {
        if (!draft.like) return std::nullopt;
        const std::uint32_t index = names_.find(draft.like.text, DraftName{drafts_});
        if (index != NameTable::none) return index;
        draft.bad = true;
        say_unknown_mode(reading_, draft.like, draft.head.name.text);
        return std::nullopt;
    }

    void say_circle(const std::vector<std::size_t>& chain, std::size_t again) {
        std::string text;
        for (auto at = std::find(chain.begin(), chain.end(), again); at != chain.end(); ++at) {
            text += std::string(drafts_[*at].head.name.text) + " is like ";
            drafts_[*at].bad = true;
        }
        const Draft& draft = drafts_[again];
        reading_.say("mode-circle", draft.like.where,
                     "mode " + std::string(draft.head.name.text) + " is like itself: " + text +
                         std::string(draft.head.name.text));
    }

    void fill_in(std::size_t index, std::optional<std::size_t> base) {
        Draft& draft = drafts_[index];
        Mode& mode = reading_.harness.modes[index];
        draft.progress = Draft::Progress::done;
        if (base)
            inherit(mode, reading_.harness.modes[*base]);
        else
            begin(mode);
        const bool base_bad = base && (drafts_[*base].bad || drafts_[*base].silent);
        ModeLines lines(reading_, mode);
        if (draft.head.block) {
            const FileText& file = draft.statement.file;
            for_each_element(
                file, draft.head.block + 1, file.node(draft.head.block).next, [&](std::uint32_t element) {
                    if (Tokens(file, element).next().is_word("like") || file.node(element).damaged) return;
                    lines.take(file, element);
                });
        }
        draft.bad = draft.bad || lines.bad() || (base && drafts_[*base].bad);
        lines.finish(!draft.bad && !base_bad);
        draft.silent = lines.silent();
    }

    void begin(Mode& mode) const {
        const Scope& root = reading_.root;
        mode.states.resize(root.parts.size());
        for (std::size_t i = 0; i < root.parts.size(); ++i)
            mode.states[i].posture = state_rules(reading_.harness, root.parts[i]).otherwise;
        mode.pin_states.resize(root.driver_pins.size());
        mode.location_states.resize(root.locations.size());
    }

    static void inherit(Mode& mode, const Mode& base) {
        mode.states = base.states;
        mode.pin_states = base.pin_states;
        mode.location_states = base.location_states;
        mode.profiles = base.profiles;
        mode.ambient = base.ambient;
        for (auto* states : {&mode.states, &mode.pin_states, &mode.location_states})
            for (State& state : *states)
                if (state.stated_by == StatedBy::line) state.stated_by = StatedBy::inherited;
    }

    Reading& reading_;
    std::vector<Draft> drafts_;
    NameTable names_;
};

}  // namespace

void say_unknown_mode(Reading& reading, const Token& name, std::string_view besides) {
    if (!reading.may_call_unknown(name.text)) return;
    Suggestion nearest(name.text);
    for (const Mode& mode : reading.harness.modes)
        if (mode.name != besides) nearest.offer(mode.name);
    Diagnostic& mistake =
        reading.say("unknown-mode", name.where, "there is no mode named '" + std::string(name.text) + "'");
    if (!nearest.best().empty())
        mistake.help = "there is a mode named '" + std::string(nearest.best()) + "'";
    else if (!reading.harness.modes.empty())
        mistake.help = "the first mode is '" + std::string(reading.harness.modes.front().name) + "'";
}

ModeId find_mode(const Reading& reading, std::string_view name) {
    for (std::size_t i = 0; i < reading.harness.modes.size(); ++i)
        if (reading.harness.modes[i].name == name) return ModeId(i);
    return {};
}

void read_modes(Reading& reading, const std::vector<Statement>& statements) {
    ModeReader(reading).read(statements);
}

}  // namespace loomward
