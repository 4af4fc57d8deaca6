// The man page, section 1, in roff.
#include "describe.h"

#include "tymbal/text/version.h"

#include <algorithm>

namespace tymbal {

namespace {

/// Text for roff: hyphens that can be copied, no line that looks like a request.
std::string roff(const std::string& text) {
    std::string out;
    for (std::size_t k = 0; k < text.size(); ++k) {
        const char c = text[k];
        if ((c == '.' || c == '\'') && (k == 0 || text[k - 1] == '\n')) out += "\\&";
        if (c == '\\')
            out += "\\e";
        else if (c == '-')
            out += "\\-";
        else
            out += c;
    }
    return out;
}

void write_option(std::ostream& out, const SaidOption& o) {
    out << ".TP\n\\fB" << roff(o.name) << "\\fR";
    if (!o.value_name.empty()) out << " \\fI" << roff(o.value_name) << "\\fR";
    out << '\n' << roff(o.about) << '\n';
}

void write_command(std::ostream& out, const SaidCommand& c) {
    out << ".SS tymbal " << roff(c.name) << '\n' << roff(c.about) << ".\n";
    std::string common;
    for (const SaidOption& o : c.options) {
        if (o.common) common.append(common.empty() ? "Common options: " : ", ").append(o.name);
        if (!o.common && o.name != "--help") write_option(out, o);
    }
    if (!common.empty()) out << ".PP\n" << roff(common) << ".\n";
    if (!c.footer.empty()) out << ".PP\n.nf\n" << roff(c.footer) << "\n.fi\n";
}

/// Options that mean the same wherever they stand, once.
void write_common_options(std::ostream& out, const std::vector<SaidCommand>& commands) {
    out << ".SH COMMON OPTIONS\n";
    std::vector<std::string> written;
    for (const SaidCommand& c : commands)
        for (const SaidOption& o : c.options) {
            if (!o.common || std::find(written.begin(), written.end(), o.name) != written.end()) continue;
            written.push_back(o.name);
            write_option(out, o);
        }
}

constexpr const char* ending = R"(.SH EXIT STATUS
.TP
\fB0\fR
done
.TP
\fB1\fR
the input is sound but the task has no answer; standard error says why
.TP
\fB2\fR
bad input or usage; standard error names file, line and key
.SH ENVIRONMENT
.TP
\fBTYMBAL_MATERIALS\fR
folder of the material table, unless \-\-materials names one
.TP
\fBNO_COLOR\fR
when set to anything, tables have no colour on a terminal either
.SH CAUTIONS
tymbal informs, it does not instruct. Releasing membranes involves hydrofluoric acid, which can kill; lasers, vacuum
vessels and pressurised dryers have their own dangers. Local rules and trained staff decide.
)";

}  // namespace

void write_manual(std::ostream& out, const std::vector<SaidCommand>& commands) {
    out << ".TH TYMBAL 1 \"\" \"tymbal " << version
        << "\" \"User commands\"\n.SH NAME\ntymbal \\- design calculator for "
        << "released silicon\\-nitride membranes\n.SH SYNOPSIS\n\\fBtymbal\\fR \\fICOMMAND\\fR [\\fIARGUMENT\\fR ...]\n"
        << ".SH DESCRIPTION\nFrom film, outline and holes to mode frequencies with errors, loss budget and readout "
           "figures;\nround that sizing, choosing, release, patterns, measurement plans and their comparison with "
           "measured lines.\n"
        << "Where a command takes a file to write, \\- is standard output.\n.SH COMMANDS\n";
    for (const SaidCommand& c : commands) write_command(out, c);
    write_common_options(out, commands);
    out << ending;
}

}  // namespace tymbal
