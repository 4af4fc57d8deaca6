// Completion for bash and zsh.
#include "describe.h"

namespace tymbal {

namespace {

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) text.append(text.empty() ? "" : " ").append(word);
    return text;
}

std::string option_names(const SaidCommand& command) {
    std::vector<std::string> names;
    for (const SaidOption& o : command.options)
        if (!o.positional) names.push_back(o.name);
    return joined(names);
}

/// For a text in single quotes inside _arguments: what zsh would take for itself is escaped or left out.
std::string zsh_text(const std::string& text) {
    std::string out;
    for (const char c : text) {
        if (c == '\'') continue;
        if (c == '[' || c == ']' || c == ':') out += '\\';
        out += c;
    }
    return out;
}

}  // namespace

void write_bash_completion(std::ostream& out, const std::vector<SaidCommand>& commands) {
    std::vector<std::string> names;
    for (const SaidCommand& c : commands) names.push_back(c.name);
    out << "# bash completion for tymbal, made by `tymbal describe bash`\n_tymbal() {\n"
           "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]} "
           "list=\n"
           "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        COMPREPLY=($(compgen -W \""
        << joined(names)
        << " --help --version\" -- \"$word\"))\n        return\n    fi\n    case \"$command $before\" in\n";
    for (const SaidCommand& c : commands)
        for (const SaidOption& o : c.options)
            if (!o.choices.empty() && !o.positional)
                out << "        \"" << c.name << ' ' << o.name << "\") list=\"" << joined(o.choices) << "\" ;;\n";
    out << "    esac\n    if [ -z \"$list\" ] && [[ $word == -* ]]; then\n        case $command in\n";
    for (const SaidCommand& c : commands)
        out << "            " << c.name << ") list=\"" << option_names(c) << "\" ;;\n";
    out << "        esac\n    fi\n    if [ -n \"$list\" ]; then\n        COMPREPLY=($(compgen -W \"$list\" -- "
           "\"$word\"))\n"
           "    else\n        COMPREPLY=($(compgen -f -- \"$word\"))\n    fi\n}\n"
           "complete -o filenames -o bashdefault -F _tymbal tymbal\n";
}

void write_zsh_completion(std::ostream& out, const std::vector<SaidCommand>& commands) {
    out << "#compdef tymbal\n# made by `tymbal describe zsh`\n_tymbal() {\n    local -a commands\n    commands=(\n";
    for (const SaidCommand& c : commands) out << "        '" << c.name << ':' << zsh_text(c.about) << "'\n";
    out << "    )\n    if (( CURRENT == 2 )); then\n        _describe command commands\n        return\n    fi\n"
           "    local command=$words[2]\n    words=(\"${(@)words[2,-1]}\")\n    (( CURRENT-- ))\n    case $command "
           "in\n";
    for (const SaidCommand& c : commands) {
        out << "        " << c.name << ")\n            _arguments";
        for (const SaidOption& o : c.options) {
            if (o.positional) continue;
            out << " \\\n                '" << (o.several ? "*" : "") << o.name << '[' << zsh_text(o.about) << ']';
            if (o.value) out << ":value:" << (o.choices.empty() ? "_files" : "(" + joined(o.choices) + ")");
            out << '\'';
        }
        out << " \\\n                '*:file:_files' ;;\n";
    }
    out << "    esac\n}\n_tymbal \"$@\"\n";
}

}  // namespace tymbal
