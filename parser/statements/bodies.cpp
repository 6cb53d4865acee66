// The bodies of assembly types, inner ones first, so that each is resolved once and then only stamped out.
#include <algorithm>

#include "parser/names/reading.hpp"

namespace loomward {
namespace {

// A type that is being opened, and the assemblies in it that are still to be followed.
struct OpenBody {
    PartType* type = nullptr;
    Statements statements;
    std::vector<Token> inner;  // the words after `is`
    std::size_t next = 0;
};

std::vector<Token> assemblies_in(const Statements& statements) {
    std::vector<Token> names;
    for (const Statement& statement : statements.parts) {
        if (statement.kind != Kind::assembly) continue;
        Tokens tokens(statement.file, statement.element);
        while (!tokens.done() && !tokens.peek().is_word("is")) tokens.next();
        tokens.next();
        if (tokens.peek().is_word()) names.push_back(tokens.peek());
    }
    return names;
}

class BodyResolver {
  public:
    explicit BodyResolver(Reading& reading) : reading_(reading) {}

    void resolve(PartType& start) {
        push(start);
        while (!stack_.empty()) {
            OpenBody& top = stack_.back();
            if (top.next < top.inner.size()) {
                follow(top.inner[top.next++]);
                continue;
            }
            resolve_scope(reading_, *top.type->body, top.statements.parts);
            top.type->progress = PartType::Progress::done;
            stack_.pop_back();
        }
    }

  private:
    void push(PartType& type) {
        type.progress = PartType::Progress::open;
        type.body = std::make_unique<Scope>();
        type.body->type = &type;
        OpenBody& open = stack_.emplace_back();
        open.type = &type;
        if (!type.block) return;
        const FileText& file = type.statement.file;
        collect_statements(reading_, file, type.block + 1, file.node(type.block).next, true, open.statements);
        say_unknown_statements(reading_, open.statements);
        open.inner = assemblies_in(open.statements);
    }

    void follow(const Token& name) {
        const PartType* found = find_type(reading_, name.text);
        if (!found) return;
        PartType* type = &reading_.types[static_cast<std::size_t>(found - reading_.types.data())];
        while (type->built_on) type = const_cast<PartType*>(type->built_on);
        if (type->bad || type->kind != Kind::assembly) return;
        if (type->progress == PartType::Progress::untouched) return push(*type);
        if (type->progress == PartType::Progress::open) say_circle(*type, name);
    }

    void say_circle(PartType& again, const Token& name) {
        std::string text;
        const auto first = std::find_if(stack_.begin(), stack_.end(),
                                        [&](const OpenBody& open) { return open.type == &again; });
        for (auto at = first; at != stack_.end(); ++at) {
            text += std::string(at->type->name) + " holds ";
            at->type->bad = true;
        }
        reading_.say(
            "part-circle", name.where,
            "part " + std::string(again.name) + " is built on itself: " + text + std::string(again.name));
    }

    Reading& reading_;
    std::vector<OpenBody> stack_;
};

}  // namespace

void resolve_bodies(Reading& reading) {
    for (PartType& type : reading.types)
        if (type.kind == Kind::assembly && !type.bad && !type.built_on)
            type.progress = PartType::Progress::untouched;
    BodyResolver resolver(reading);
    for (PartType& type : reading.types)
        if (type.kind == Kind::assembly && !type.built_on && type.progress == PartType::Progress::untouched)
            resolver.resolve(type);
}

}  // namespace loomward
