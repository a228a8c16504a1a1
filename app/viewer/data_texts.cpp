#include "app/viewer/data_texts.h"

#include <QtGlobal>

namespace app::viewer {

/// Only for the translator's tool to find: texts that rooms without Qt give, each as it stands there.
[[maybe_unused]] static const char* const kDataTexts[] = {
    QT_TRANSLATE_NOOP("data", "lack of root fusion (original edge visible)"),
    QT_TRANSLATE_NOOP("data", "incomplete root penetration"),
    QT_TRANSLATE_NOOP("data", "crack"),
    QT_TRANSLATE_NOOP("data", "crater crack"),
    QT_TRANSLATE_NOOP("data", "surface pore"),
    QT_TRANSLATE_NOOP("data", "root porosity"),
    QT_TRANSLATE_NOOP("data", "crater pipe"),
    QT_TRANSLATE_NOOP("data", "tungsten inclusion"),
    QT_TRANSLATE_NOOP("data", "continuous undercut"),
    QT_TRANSLATE_NOOP("data", "intermittent undercut"),
    QT_TRANSLATE_NOOP("data", "shrinkage groove"),
    QT_TRANSLATE_NOOP("data", "excess penetration"),
    QT_TRANSLATE_NOOP("data", "root overlap"),
    QT_TRANSLATE_NOOP("data", "linear misalignment"),
    QT_TRANSLATE_NOOP("data", "sagging"),
    QT_TRANSLATE_NOOP("data", "burn-through"),
    QT_TRANSLATE_NOOP("data", "irregular width"),
    QT_TRANSLATE_NOOP("data", "root concavity"),
    QT_TRANSLATE_NOOP("data", "poor restart"),
    QT_TRANSLATE_NOOP("data", "stray arc"),
    QT_TRANSLATE_NOOP("data", "spatter"),
    QT_TRANSLATE_NOOP("data", "grinding mark"),
    QT_TRANSLATE_NOOP("data", "underflushing"),
    QT_TRANSLATE_NOOP("data", "temper colour"),
    QT_TRANSLATE_NOOP("data", "scaled surface"),
    QT_TRANSLATE_NOOP("data", "gouge"),
    QT_TRANSLATE_NOOP("data", "remark"),
    QT_TRANSLATE_NOOP("data", "tack weld"),
    QT_TRANSLATE_NOOP("data", "insert ring: butt of its ends"),
    QT_TRANSLATE_NOOP("data", "insert ring: lap of its ends"),
    QT_TRANSLATE_NOOP("data", "tie-in"),
    QT_TRANSLATE_NOOP("data", "stop and start"),
    QT_TRANSLATE_NOOP("data", "fit-up gap noted before welding"),
    QT_TRANSLATE_NOOP("data", "fit-up misalignment noted before welding"),
    QT_TRANSLATE_NOOP("data", "within"),
    QT_TRANSLATE_NOOP("data", "beyond"),
    QT_TRANSLATE_NOOP("data", "undecided"),
    QT_TRANSLATE_NOOP("data", "not measured"),
    QT_TRANSLATE_NOOP("data", "annotated"),
    QT_TRANSLATE_NOOP("data", "proposed: within"),
    QT_TRANSLATE_NOOP("data", "proposed: not accepted"),
    QT_TRANSLATE_NOOP("data", "proposed: not decided"),
    QT_TRANSLATE_NOOP("data", "single view: height not measurable from this recording"),
    QT_TRANSLATE_NOOP("data",
                      "not earned by the camera's travel: on scenes with truth every way tried left more than 0.4 mm; "
                      "give a recording with a plane of light on"),
    QT_TRANSLATE_NOOP("data",
                      "near side dark, far side bright: the look of a concave root. A sign to look, not a depth."),
    QT_TRANSLATE_NOOP("data", "no height was measured at this place"),
    QT_TRANSLATE_NOOP("data", "no height was measured over part of the weld here"),
    QT_TRANSLATE_NOOP("data", "too little bare wall was measured beside the weld here"),
    QT_TRANSLATE_NOOP("data", "a toe of the bead is not known here"),
    QT_TRANSLATE_NOOP("data", "the toes lie too close together"),
    QT_TRANSLATE_NOOP("data", "picture and surface do not tell both toes together here"),
    QT_TRANSLATE_NOOP("data", "the far toe is hidden behind the crown, or does not stand out from the wall"),
    QT_TRANSLATE_NOOP("data", "what is seen there stands clear of the wall: the far toe lies hidden behind it"),
    QT_TRANSLATE_NOOP("data", "the picture does not tell at this place (dark, blown out or too coarse)"),
    QT_TRANSLATE_NOOP("data", "covered: something stands before the wall here, or glare lies on it"),
    QT_TRANSLATE_NOOP("data", "the toe lies outside the picture"),
    QT_TRANSLATE_NOOP("data", "this edge of the insert lies behind the bead in this view; look from the other side"),
    QT_TRANSLATE_NOOP("data", "this part of the wall was not seen or was masked"),
    QT_TRANSLATE_NOOP("data",
                      "Aid to examination. Measurements are indicative unless a valid calibration and a passing gauge "
                      "study are attached. Acceptance is the decision of the certified examiner under the code edition "
                      "and contract named above. A root not shown, not in focus or not lit is NOT EXAMINED, not "
                      "acceptable."),
    QT_TRANSLATE_NOOP("data",
                      "It supports and never replaces the qualified examiner, the contract's code edition and local "
                      "rules."),
    QT_TRANSLATE_NOOP("data", "Do not enter or put your head into purged pipe: test for >= 19.5 % O2 first."),
    QT_TRANSLATE_NOOP("data", "Do not grind on this plan until wall is measured (UT) and the repair is authorised."),
};

}  // namespace app::viewer
