"""Forms for signing in and for the first account. What a new account refuses is said there, not here."""

from flask_wtf import FlaskForm
from wtforms import HiddenField, PasswordField, StringField
from wtforms.validators import InputRequired, Length

from fieldlog.web.people.passwords import MOST


class SignInForm(FlaskForm):
    """Name and password."""

    name = StringField(
        "Name", [InputRequired("Write your name."), Length(max=80, message="No name is that long.")]
    )
    password = PasswordField(
        "Password",
        [InputRequired("Write your password."), Length(max=MOST, message="No password is that long.")],
    )
    next = HiddenField()


class FirstAccountForm(FlaskForm):
    """Name and password of the first account, with the token of the link."""

    token = HiddenField()
    name = StringField("Name", [InputRequired("Write a name.")])
    password = PasswordField("Password", [InputRequired("Write a password.")])


class SignOutForm(FlaskForm):
    """Nothing but the form's token."""


class PasswordForm(FlaskForm):
    """The password there is, and the one that is wanted."""

    current = PasswordField(
        "Password now",
        [
            InputRequired("Write the password there is."),
            Length(max=MOST, message="No password is that long."),
        ],
    )
    password = PasswordField("New password", [InputRequired("Write a new password.")])


class SessionForm(FlaskForm):
    """Nothing but the form's token."""


class RemovalForm(FlaskForm):
    """The name of the account and its password, so that nobody removes one by a slip."""

    name = StringField(
        "Name of the account",
        [InputRequired("Write the name of the account."), Length(max=80, message="No name is that long.")],
    )
    password = PasswordField(
        "Password",
        [InputRequired("Write the password."), Length(max=MOST, message="No password is that long.")],
    )
