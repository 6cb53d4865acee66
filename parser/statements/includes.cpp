// Files: the one that was asked for and those it uses, each read once; their editions; circles.
#include <algorithm>
#include <map>

#include "parser/names/reading.hpp"
#include "parser/text/suggest.hpp"

namespace loomward {
namespace {

constexpr std::string_view known_edition = "1";

// "yard/cart.loom" -> "yard/"
std::string folder_of(const std::string& path) {
    const std::size_t slash = path.rfind('/');
    return slash == std::string::npos ? std::string() : path.substr(0, slash + 1);
}

// Absolute, or with a part "..", or with a sign that means a folder elsewhere.
bool leaves_folder(std::string_view path) {
    if (path.starts_with('/') || path.find_first_of("\\:") != std::string_view::npos) return true;
    for (std::size_t at = 0; at <= path.size();) {
        const std::size_t slash = std::min(path.find('/', at), path.size());
        if (path.substr(at, slash - at) == "..") return true;
        at = slash + 1;
    }
    return false;
}

// "./a//b.loom" -> "a/b.loom", so that a file is known by one name.
std::string plain(std::string_view path) {
    std::string result;
    for (std::size_t at = 0; at < path.size();) {
        const std::size_t slash = std::min(path.find('/', at), path.size());
        const std::string_view piece = path.substr(at, slash - at);
        if (!piece.empty() && piece != ".") {
            if (!result.empty()) result += '/';
            result += piece;
        }
        at = slash + 1;
    }
    return result;
}

struct Use {
    Span where;
    std::string path;
};

// A file whose uses are being followed. `file` is invalid for one that was there already.
struct Open {
    FileId file;
    std::vector<Use> uses;
    std::size_t next = 0;
};

class Loader {
  public:
    Loader(Reading& reading, Statements& statements) : reading_(reading), statements_(statements) {}

    void load(const std::string& path, std::optional<std::string> text) {
        if (!text) text = reading_.files.read(path);
        if (!text) {
            const FileId file = add(path, {});
            reading_.say("no-file", {file, 0, 1}, "the file '" + path + "' cannot be read");
            return;
        }
        open(path, std::move(*text));
        while (!stack_.empty()) {
            Open& top = stack_.back();
            if (top.next == top.uses.size()) {
                stack_.pop_back();
                continue;
            }
            follow(Use(top.uses[top.next++]));
        }
    }

  private:
    FileId add(const std::string& path, std::string text) {
        const FileId file = reading_.sources->add(path, std::move(text));
        known_[plain(path)] = file;
        reading_.trees.push_back(std::make_unique<SyntaxTree>());
        reading_.trees.back()->file = file;
        return file;
    }

    void open(const std::string& path, std::string text) {
        const FileId file = add(path, std::move(text));
        *reading_.trees.back() = read_syntax(*reading_.sources, file, reading_.mistakes);
        for (const std::string_view word : reading_.trees.back()->names_in_damage) reading_.excuse(word);
        stack_.push_back({file, {}, 0});
        check_edition(file);
        const std::size_t first = statements_.uses.size();
        const FileText opened = reading_.file_text(file);
        collect_statements(reading_, opened, statements_);
        find_uses(first);
    }

    void check_edition(FileId id) {
        const FileText file = reading_.file_text(id);
        if (file.tree->nodes.empty()) {
            say_no_edition({id, 0, 1});
            return;
        }
        if (file.node(0).damaged) return;
        Tokens tokens(file, 0);
        const Token first = tokens.next();
        if (!first.is_word("loom")) return say_no_edition(first.where);
        const Token edition = tokens.next();
        if (!edition) {
            reading_.say("edition", first.where, "the edition of the language is missing").help =
                "the first line is: loom 1";
            return;
        }
        if (edition.text != known_edition) {
            reading_
                .say("edition", edition.where,
                     "edition " + std::string(edition.text) + " of the language is not known to this program")
                .help = "this program reads edition 1";
            return;
        }
        if (const Token more = tokens.next())
            reading_
                .say("left-over", more.where,
                     "'" + std::string(more.text) + "' is more than the edition takes")
                .help = "each statement begins on a line of its own";
    }

    void say_no_edition(Span where) {
        reading_.say("no-edition", where, "the file does not begin with its language edition").help =
            "the first line is: loom 1";
    }

    void find_uses(std::size_t first) {
        for (std::size_t i = first; i < statements_.uses.size(); ++i) {
            const Statement& statement = statements_.uses[i];
            Tokens tokens(statement.file, statement.element);
            const Token word = tokens.next();
            const Token path = tokens.next();
            if (!path.is(NodeKind::text)) {
                reading_.file_missing = true;
                reading_.say("missing-name", path ? path.where : word.where, "'use' needs the name of a file")
                    .help = "its name is written as a text: use \"shelf.loom\"";
                continue;
            }
            if (const Token more = tokens.next())
                reading_
                    .say("left-over", more.where, "'" + std::string(more.text) + "' is more than 'use' takes")
                    .help = "each file has a line of its own: use \"shelf.loom\"";
            stack_.back().uses.push_back(
                {path.where, std::string(reading_.attributes.text_of(*statement.file.tree, path.node))});
        }
    }

    void follow(const Use& use) {
        if (leaves_folder(use.path)) {
            reading_.file_missing = true;
            reading_.say("outside", use.where, "'" + use.path + "' leaves the folder of the harness").help =
                "files are named from the folder of the file that uses them, with forward slashes";
            return;
        }
        const std::string& user = reading_.sources->file(use.where.file).path;
        const std::string path = folder_of(user) + plain(use.path);
        if (const auto found = known_.find(plain(path)); found != known_.end()) {
            say_if_circle(found->second, use);
            return;
        }
        if (std::optional<std::string> text = reading_.files.read(path)) {
            open(path, std::move(*text));
            return;
        }
        reading_.file_missing = true;
        const std::vector<std::string> others = reading_.files.beside(user);
        Suggestion nearest(use.path);
        for (const std::string& other : others) nearest.offer(other);
        Diagnostic& mistake =
            reading_.say("no-file", use.where, "there is no file '" + use.path + "' beside this one");
        if (!nearest.best().empty()) mistake.help = "there is a file '" + std::string(nearest.best()) + "'";
    }

    // Used by one that it uses itself, directly or not: the files that are open are the chain.
    void say_if_circle(FileId used, const Use& use) {
        const auto first = std::find_if(stack_.begin(), stack_.end(),
                                        [used](const Open& open) { return open.file == used; });
        if (first == stack_.end()) return;
        const std::string name = reading_.sources->file(used).path;
        std::string chain;
        for (auto at = first; at != stack_.end(); ++at)
            chain += reading_.sources->file(at->file).path + " uses ";
        reading_.say("use-circle", use.where, "'" + name + "' is used by itself: " + chain + name);
    }

    Reading& reading_;
    Statements& statements_;
    std::map<std::string, FileId> known_;
    std::vector<Open> stack_;
};

}  // namespace

void load_files(Reading& reading, const std::string& path, std::optional<std::string> text,
                Statements& statements) {
    Loader(reading, statements).load(path, std::move(text));
    say_unknown_statements(reading, statements);
}

}  // namespace loomward
