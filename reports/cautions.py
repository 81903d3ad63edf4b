"""The usual cautions, where a figure could be taken for a decision."""

CUSTODY = (
    "Before any act that cannot be undone two people read the band on the person against the "
    "papers. This page helps to find what to look at; it does not identify anyone. Local codes and "
    "a licensed practitioner decide.",
)
FINDINGS = (
    "A finding is a reason to look, not a verdict. Limits are data with their citation and may be "
    "out of date or not apply: check with counsel or the licensing board. Local codes and a "
    "licensed practitioner decide.",
)
CHEMICALS = (
    "Formaldehyde is toxic and causes cancer. These figures come from records of stock, not from "
    "the room: they do not show that anyone's exposure is safe. Follow the safety data sheet and "
    "local codes; the safety officer and a licensed practitioner decide.",
)
PRICES = (
    "A charge that differs from the list is a reason to look, not a verdict. The price rule and "
    "state law decide: have counsel review.",
)
