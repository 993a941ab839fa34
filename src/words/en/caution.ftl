### Red flags and cautions: the question before the first inflation, what stands above the result where the answer is yes,
### and where it comes from. All are safety sentences. Each message: where it stands, and how many letters it may have.
### The ids are `caution-` and the item's id in src/clinical/cautions.toml.

# A flag that belongs to one limb: before its words · 40
caution-of-limb =
    { $side ->
        [left] patient's left
       *[right] patient's right
    } { $limb ->
        [leg] leg
        [arm] arm
       *[patient] side
    }: { $words } [{ $source }]
# A flag of the whole patient · 10
caution-of-patient = { $words } [{ $source }]
# Where it comes from, and how sure that is · 10
caution-source = { $source } ({ $status })
# An item that this version does not know: behind a red flag · 140
caution-unknown = `{ $id }` was recorded; this version does not know it, so it is treated as a red flag
# Where such an item comes from · 40
caution-unknown-source = recorded in the visit
# Preparing, the report's first page and the result screen · 190
caution-acute-limb = Suddenly cold, pale, numb or weak foot?
    .words = a suddenly cold, pale, numb or weak foot was recorded: possible acute limb ischaemia, an emergency whatever the number
    .source = common practice
# Preparing, the report's first page and the result screen · 180
caution-rest-pain = Pain in the foot at rest or at night?
    .words = rest pain was recorded: a sign of limb-threatening ischaemia whatever the number
    .source = TASC II (2007), as tabulated in PMC11279131, names rest pain; that it outweighs the number is common practice
# Preparing, the report's first page and the result screen · 180
caution-gangrene = Gangrene or black tissue?
    .words = gangrene was recorded: a sign of limb-threatening ischaemia whatever the number
    .source = TASC II (2007), as tabulated in PMC11279131, names gangrene; that it outweighs the number is common practice
# Preparing, the report's first page and the result screen · 120
caution-spreading-infection = Spreading infection of the foot or leg?
    .words = spreading infection was recorded: urgent whatever the number
    .source = common practice; cellulitis is a reason to leave a cuff off in NHANES
# Preparing, the report's first page and the result screen · 140
caution-suspected-clot = Suspected or recent deep-vein clot?
    .words = a suspected or recent deep-vein clot was recorded: the source says not to do the test
    .source = NHS Scotland procedure (from 2024)
# Preparing, the report's first page and the result screen · 180
caution-absent-signals = No signal in either ankle artery
    .words = no signal was found in dorsalis pedis or posterior tibial: there is no index, and the absence itself is urgent
    .source = common practice
# Preparing, the report's first page and the result screen · 140
caution-graft-or-stent = Bypass graft or stent where the cuff goes?
    .words = a graft or stent under the cuff was recorded: the source says not to inflate over it
    .source = vascular technology course notes; AHA 2012 by way of a summary
# Preparing, the report's first page and the result screen · 110
caution-wound-under-cuff = Open wound where the cuff goes?
    .words = a wound under the cuff was recorded: cover it, or leave the site out
    .source = AHA 2012, by way of a secondary page
# Preparing, the report's first page and the result screen · 150
caution-arm-not-usable = Fistula for dialysis, or lymphoedema or node surgery on the side of this arm?
    .words = a fistula, lymphoedema or node surgery was recorded: the source uses the other arm only
    .source = vascular technology course notes
# Preparing, the report's first page and the result screen · 160
caution-diabetes = Diabetes
    .words = diabetes was recorded: an index inside or above the usual range does not exclude arterial disease
    .source = NICE CKS wording by way of a secondary page
# Preparing, the report's first page and the result screen · 180
caution-kidney = Chronic kidney disease
    .words = chronic kidney disease was recorded: an index inside or above the usual range does not exclude arterial disease
    .source = NICE CKS wording by way of a secondary page
