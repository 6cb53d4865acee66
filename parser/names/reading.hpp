// Everything one run of the reader carries from step to step. Internal to parser/.
#pragma once
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "parser/attributes/attributes.hpp"
#include "parser/harness.hpp"
#include "parser/names/scope.hpp"
#include "parser/syntax/tokens.hpp"
#include "parser/text/arena.hpp"
#include "parser/text/diagnostic.hpp"
#include "parser/text/files.hpp"

namespace loomward {

// One statement that begins with a known word, in any scope.
struct Statement {
    FileText file;
    std::uint32_t element = 0;
    Token word;
    std::optional<Kind> kind;  // where the word is one
};

struct PartType {
    std::string_view name;
    Span where;
    Kind kind{};  // of the end of the chain; meaningless if bad
    std::string_view label;
    AttributeList attributes;  // own and inherited
    Slice stored;              // the same in the harness's stores, for whoever adds nothing to them
    bool bad = false;
    bool shaky = false;  // an attribute of it has a mistake: whoever is fitted from it is not judged further
    std::unique_ptr<Scope> body;         // assemblies: resolved by resolve_bodies
    const PartType* built_on = nullptr;  // an assembly that is another one by a second name

    // while types are being resolved
    Statement statement;
    Token base;  // the word after `is`
    std::uint32_t block = 0;
    enum class Progress : std::uint8_t { untouched, open, done } progress = Progress::untouched;
};

struct Reading {
    Reading(FileReader& reader, const ReadOptions& read_options)
        : files(reader),
          options(read_options),
          arena(harness.strings),
          attributes(*sources, *harness.strings, mistakes) {}

    std::shared_ptr<Sources> sources = std::make_shared<Sources>();
    FileReader& files;
    const ReadOptions& options;
    std::vector<std::unique_ptr<SyntaxTree>> trees;  // by FileId
    std::vector<Diagnostic> mistakes;
    Harness harness;
    Arena arena;
    AttributeReader attributes;

    std::vector<PartType> types;
    NameTable type_names;
    Scope root;

    // Names in statements that were not read because of a mistake in them: never called unknown. Only asked.
    std::unordered_set<std::string_view> excused;
    std::unordered_set<std::string_view> called_unknown;
    bool file_missing = false;  // a `use` failed: any name may be in that file
    bool name_missing = false;  // a statement has no name: any unknown name may be the one it should have

    // What the harness says for wires that do not; pvc at 70 degC where it says nothing (IEC 60364-5-52,
    // lowest).
    std::string_view default_insulation = "pvc";
    double default_insulation_degC = 70;
    Knowledge default_insulation_known = Knowledge::assumed;

    AttributeList scratch, merged;  // kept for their capacity

    // Where something was found bad. Every such place has a message; should one ever lack it, there is no
    // harness all the same (read.cpp).
    std::optional<Span> doubt;
    bool read_attributes(const FileText& file, std::uint32_t first, std::uint32_t last, const Owner& owner,
                         AttributeList& list) {
        const bool good = attributes.read(*file.tree, first, last, owner, list);
        if (!good && !doubt) doubt = owner.where;
        return good;
    }

    FileText file_text(FileId id) const { return {trees[id.index()].get(), sources->file(id).text}; }
    // A mistake with its id, place and message; the rest is set by the caller on what comes back.
    Diagnostic& say(std::string_view id, Span where, std::string message);
    // True if nothing is known to be wrong with calling `name` unknown; remembers that it was.
    bool may_call_unknown(std::string_view name);
    void excuse(std::string_view word);  // and what stands before its first '.'
    void excuse_all_in(const FileText& file, std::uint32_t first, std::uint32_t end);
};

// ---- names (names.cpp)
// letter { letter | digit | "_" } { "-" more }
bool is_name(std::string_view text);
// A port may end in + or -.
bool is_port_name(std::string_view text);
bool is_reserved_name(std::string_view text);
// Declares a name of the scope; says name-twice, names-alike. False if the name is taken.
bool declare(Reading& reading, Scope& scope, const Entity& entity);
// "fuse", "wire", "assembly": what an entity is called in messages.
std::string_view word_of(const Scope& scope, const Entity& entity);
// Says that nothing of that name is there, with the nearest name that is. `what` is "part", "bundle" ...
void say_unknown(Reading& reading, const Scope& scope, std::string_view name, Span where,
                 std::string_view what, std::initializer_list<EntityKind> offered);

// ---- statements (statements.cpp)
struct Head {
    Token name;
    std::string_view label;
    Token type;               // the word after `is`
    std::uint32_t block = 0;  // node; 0: none
    bool bad = false;         // something was said about it
};
// Reads `kind name ["label"] [is type] [block]`.
Head read_head(Reading& reading, const Statement& statement);
struct Statements {
    std::vector<Statement> uses, types, harnesses, policies, parts, modes, acceptances, unknown;
    // parts: everything that declares names in the scope, assemblies and routes too, in source order
};
void collect_statements(Reading& reading, const FileText& file, std::uint32_t first, std::uint32_t end,
                        bool inside_assembly, Statements& statements);
void collect_statements(Reading& reading, const FileText& file, Statements& statements);  // of a whole file
// Once every type is known by its name: 'lamp-arm' may be one.
void say_unknown_statements(Reading& reading, const Statements& statements);

// ---- files (includes.cpp)
// Reads the file and what it uses into `reading` and sorts their statements; the text of the first file may
// be given.
void load_files(Reading& reading, const std::string& path, std::optional<std::string> text,
                Statements& statements);

// ---- part types (part_types.cpp)
void resolve_part_types(Reading& reading, const std::vector<Statement>& statements);
const PartType* find_type(const Reading& reading, std::string_view name);
// The type named after `is` of a thing of that kind; says what is wrong. nullptr: none, or a bad one (then
// `bad` is set).
const PartType* type_for(Reading& reading, const Token& name, Kind kind, std::string_view thing, bool& bad);

// ---- scopes (declarations.cpp, routes.cpp, assemblies.cpp)
void resolve_scope(Reading& reading, Scope& scope, const std::vector<Statement>& statements);
void declare_things(Reading& reading, Scope& scope, const std::vector<Statement>& statements);
void declare_assembly(Reading& reading, Scope& scope, const Statement& statement);
// Opens the bodies of all assembly types, inner ones first; says part-circle.
void resolve_bodies(Reading& reading);
void wire_up_assembly(Reading& reading, Scope& scope, Instance& instance);
void read_route(Reading& reading, Scope& scope, const Statement& statement);
// Appends the terminals of the part and sets Part::terminals and traits. Says what is wrong with them.
void make_terminals(Reading& reading, Scope& scope, PartId id, const AttributeList& attributes);
void finish_scope(Reading& reading, Scope& scope);

// A path looked up through assemblies ("T1.H1", "A1.17.H1.+"): what it names in the vectors of `scope`.
struct Located {
    const Entity* entity = nullptr;  // nullptr: `missing` is what was not found; in which scope: `within`
    EntityKind kind{};
    std::uint32_t index = 0;  // assembly: of the first part that is in it, see `parts`
    std::uint32_t parts = 0;  // assembly: so many parts follow each other from `index` on
    // Offsets of the scope it was found in.
    std::uint32_t first_terminal = 0, first_wire = 0, first_part = 0, first_location = 0;
    std::string_view rest;  // what follows the name: a terminal, a core
    const Scope* within = nullptr;
    std::string_view missing;
    bool copy_missing = false;  // `missing` should be the number of a copy, or is more than there are
    std::uint32_t copies = 0;
};
Located locate(const Scope& scope, std::string_view path);
LocationId location_named(Reading& reading, const Scope& scope, const Value& name);

// ---- the harness as a whole
void read_harness_statements(Reading& reading, const Statements& statements);
void read_modes(Reading& reading, const std::vector<Statement>& statements);
ModeId find_mode(const Reading& reading, std::string_view name);
// `besides`: a mode that is not offered, such as the one that asks.
void say_unknown_mode(Reading& reading, const Token& name, std::string_view besides = {});
void read_acceptances(Reading& reading, const std::vector<Statement>& statements);

}  // namespace loomward
